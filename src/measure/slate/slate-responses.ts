import { RealFft } from '../../signal/fft.js'
import { SLATE, SLATE_SPACING_SECONDS, slateSweep } from '../../signal/slate.js'
import * as portable from '../../terms/portable.js'
import type { FrameSource } from '../spectra/frame-source.js'

/** What one path made of the slate: its impulse response, once from each sweep. */
export interface SlateResponse {
  readonly sampleRateHz: number
  /** Where in the file the responses begin: this frame is what an infinitely fast path would have at index 0. */
  readonly startFrame: number
  /** From the sweep, and from the one upside down, turned back over. Same length. */
  readonly first: Float64Array
  readonly second: Float64Array
}

/** The response is looked at from so much before the place that the search found … */
const BEFORE_SECONDS = 0.05
/** … to so much after: a room has died away by then, or is late enough to be left out. */
const AFTER_SECONDS = 0.25
const ROOM_SECONDS = 0.9
/** The band fades in and out over these, so that the response rings little. */
const LOW_FADE_HZ = 80
const HIGH_FADE_HZ = 12000

/**
 * Response of the path to one channel of a file: the sound at a slate, divided by the sweep. `place`: frame at which the first
 * sweep begins, to within 50 ms. A path with gain 1 and no delay gives a single pulse of the band's width, height 1.
 */
export const slateResponses = (
  source: FrameSource,
  channel: number,
  place: number,
  sampleRateHz: number,
): SlateResponse => {
  const before = Math.round(BEFORE_SECONDS * sampleRateHz)
  const length = before + Math.round(AFTER_SECONDS * sampleRateHz)
  const heard = before + Math.round((SLATE.sweepSeconds + ROOM_SECONDS) * sampleRateHz)
  let size = 4096
  while (size < heard) size *= 2
  const fft = new RealFft(size)
  const inverse = inverseOf(fft, sampleRateHz)
  const spacing = Math.round(SLATE_SPACING_SECONDS * sampleRateHz)
  const response = (start: number, sign: 1 | -1): Float64Array => {
    const planar = Array.from({ length: source.channels }, () => new Float64Array(heard))
    source.read(start, planar)
    const padded = new Float64Array(size)
    padded.set(planar[channel]!)
    const spectrum = new Float64Array(size + 2)
    fft.forward(padded, spectrum)
    for (let k = 0; k < spectrum.length; k += 2) {
      const re = spectrum[k]! * inverse[k]! - spectrum[k + 1]! * inverse[k + 1]!
      const im = spectrum[k]! * inverse[k + 1]! + spectrum[k + 1]! * inverse[k]!
      spectrum[k] = sign * re
      spectrum[k + 1] = sign * im
    }
    fft.inverse(spectrum, padded)
    return padded.slice(0, length)
  }
  const startFrame = Math.round(place) - before
  return {
    sampleRateHz,
    startFrame,
    first: response(startFrame, 1),
    second: response(startFrame + spacing, -1),
  }
}

/** One over the sweep's spectrum, within its band. */
const inverseOf = (fft: RealFft, sampleRateHz: number): Float64Array => {
  const padded = new Float64Array(fft.size)
  padded.set(slateSweep(sampleRateHz).map(x => SLATE.peak * x))
  const spectrum = new Float64Array(fft.size + 2)
  fft.forward(padded, spectrum)
  for (let k = 0; k < spectrum.length; k += 2) {
    const hz = ((k / 2) * sampleRateHz) / fft.size
    const re = spectrum[k]!
    const im = spectrum[k + 1]!
    const weight = bandWeight(hz)
    const power = re * re + im * im
    spectrum[k] = weight === 0 ? 0 : (weight * re) / power
    spectrum[k + 1] = weight === 0 ? 0 : (-weight * im) / power
  }
  return spectrum
}

/** 1 from 80 Hz to 12 kHz, 0 outside of the sweep's band. */
export const bandWeight = (hz: number): number => {
  const rise = (hz - SLATE.lowHz) / (LOW_FADE_HZ - SLATE.lowHz)
  const fall = (SLATE.highHz - hz) / (SLATE.highHz - HIGH_FADE_HZ)
  const x = Math.max(0, Math.min(1, rise, fall))
  return 0.5 - 0.5 * portable.cos(Math.PI * x)
}
