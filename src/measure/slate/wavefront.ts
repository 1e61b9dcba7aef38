import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import type { ResponseSpectrum } from './response-spectrum.js'
import { bandWeight } from './slate-responses.js'

/** A first wavefront may be this much weaker than the strongest reflection: 9 dB. */
const LEAST_OF_STRONGEST = 0.35
/** And stands out of what is always there. */
const OVER_MIDDLE = 6

/**
 * Place of the first wavefront in a response, whole frames from its start: the earliest top of its envelope that comes within
 * 9 dB of the highest. The levels of the path over frequency are evened out first (phase alone, as far as noise lets it
 * be known), so that a boomy path has as sharp a front as a bright one. Null where nothing stands out.
 */
export const firstWavefront = (
  { fftSize, spectrum, signal, noise }: ResponseSpectrum,
  sampleRateHz: number,
  length: number,
): number | null => {
  const even = new Float64Array(spectrum.length)
  const turned = new Float64Array(spectrum.length)
  for (let k = 1; k < signal.length; k++) {
    const own = signal[k]!
    if (!(own > 0)) continue
    const known = Math.max(0, 1 - noise[k]! / own)
    const weight = (bandWeight((k * sampleRateHz) / fftSize) * known) / Math.sqrt(own)
    even[2 * k] = weight * spectrum[2 * k]!
    even[2 * k + 1] = weight * spectrum[2 * k + 1]!
    // A quarter turn: both together give the envelope.
    turned[2 * k] = even[2 * k + 1]!
    turned[2 * k + 1] = -even[2 * k]!
  }
  const fft = new RealFft(fftSize)
  const real = new Float64Array(fftSize)
  const imaginary = new Float64Array(fftSize)
  fft.inverse(even, real)
  fft.inverse(turned, imaginary)
  const envelope = Float64Array.from({ length }, (_, n) => portable.hypot(real[n]!, imaginary[n]!))
  const highest = envelope.reduce((most, value) => Math.max(most, value), 0)
  const middle = Float64Array.from(envelope).sort()[length >> 1]!
  if (!(highest > OVER_MIDDLE * middle)) return null
  const limit = Math.max(LEAST_OF_STRONGEST * highest, OVER_MIDDLE * middle)
  const at = envelope.findIndex(
    (value, n) => value >= limit && value >= (envelope[n - 1] ?? 0) && value > (envelope[n + 1] ?? 0),
  )
  return at < 0 ? null : at
}
