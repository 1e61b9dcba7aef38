import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import type { SlateResponse } from './slate-responses.js'

/** A path's response with what spoils it. */
export interface ResponseSpectrum {
  readonly fftSize: number
  /** Of the mean of both sweeps, interleaved. */
  readonly spectrum: Float64Array
  /** Power per bin of the same, and of what does not turn over with the sweep (noise, hum, even distortion); over a third octave. */
  readonly signal: Float64Array
  readonly noise: Float64Array
}

/** The spectrum of a path from its answers to both sweeps: half their difference is the path, half their sum is not. */
export const responseSpectrum = ({ first, second }: SlateResponse): ResponseSpectrum => {
  let fftSize = 1024
  while (fftSize < 2 * first.length) fftSize *= 2
  const fft = new RealFft(fftSize)
  const transformed = (sign: 1 | -1): Float64Array => {
    const padded = new Float64Array(fftSize)
    first.forEach((value, n) => {
      padded[n] = 0.5 * (value + sign * second[n]!)
    })
    const spectrum = new Float64Array(fftSize + 2)
    fft.forward(padded, spectrum)
    return spectrum
  }
  const spectrum = transformed(1)
  return { fftSize, spectrum, signal: thirdOctavePower(spectrum), noise: thirdOctavePower(transformed(-1)) }
}

/** Mean power over a third octave around each bin, three bins at least. */
const thirdOctavePower = (spectrum: Float64Array): Float64Array => {
  const bins = spectrum.length / 2
  const sums = new Float64Array(bins + 1)
  for (let k = 0; k < bins; k++)
    sums[k + 1] = sums[k]! + spectrum[2 * k]! * spectrum[2 * k]! + spectrum[2 * k + 1]! * spectrum[2 * k + 1]!
  const sixth = portable.exp(Math.LN2 / 6)
  return Float64Array.from({ length: bins }, (_, k) => {
    const from = Math.max(0, Math.min(k - 1, Math.floor(k / sixth)))
    const to = Math.min(bins - 1, Math.max(k + 1, Math.ceil(k * sixth)))
    return (sums[to + 1]! - sums[from]!) / (to + 1 - from)
  })
}

/** How alike the responses of both sweeps are, -1 … 1: 1 for a path without noise, about 0 where no slate was played. */
export const likeness = ({ first, second }: SlateResponse): number => {
  let product = 0
  let a = 0
  let b = 0
  first.forEach((value, n) => {
    product += value * second[n]!
    a += value * value
    b += second[n]! * second[n]!
  })
  return a > 0 && b > 0 ? product / Math.sqrt(a * b) : 0
}
