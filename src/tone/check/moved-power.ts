import { type DelayKernel, delayDesign, designDelay } from '../../signal/fractional-delay.js'
import * as portable from '../../terms/portable.js'
import type { SummedPart } from '../predict/blend-power.js'
import type { GroupSpectra } from '../predict/cross-spectra.js'

/** Real and imaginary part of what happens to a part on its way into the sum, one value per bin. */
interface Transfer {
  readonly signal: number
  readonly real: Float64Array
  readonly imaginary: Float64Array
}

/** A part as the renderer moves it: by whole frames and a filter for the rest. */
export interface MovedPart extends SummedPart {
  /** What the filter moves by, frames in [0, 1); 0 = no filter. */
  readonly filteredSamples: number
}

/** Response of the renderer's own filter against the ideal delay, at a frequency. */
const filterResponse = (kernel: DelayKernel, sampleRateHz: number, hz: number): [number, number] => {
  const { taps, halfLength, fraction } = kernel
  let re = 0
  let im = 0
  taps.forEach((tap, i) => {
    const turn = (-2 * Math.PI * hz * (halfLength - i - fraction)) / sampleRateHz
    re += tap * portable.cos(turn)
    im += tap * portable.sin(turn)
  })
  return [re, im]
}

const transferOf = (part: MovedPart, frequenciesHz: Float64Array, sampleRateHz: number): Transfer => {
  const { bandHz } = delayDesign(sampleRateHz)
  const kernel = part.filteredSamples === 0 ? null : designDelay(part.filteredSamples, sampleRateHz)
  const real = new Float64Array(frequenciesHz.length)
  const imaginary = new Float64Array(frequenciesHz.length)
  frequenciesHz.forEach((hz, k) => {
    const turn = -2 * Math.PI * hz * part.laterSeconds
    const cosine = part.gain * portable.cos(turn)
    const sine = part.gain * portable.sin(turn)
    const [re, im] = kernel === null || hz <= bandHz ? [1, 0] : filterResponse(kernel, sampleRateHz, hz)
    real[k] = cosine * re - sine * im
    imaginary[k] = cosine * im + sine * re
  })
  return { signal: part.signal, real, imaginary }
}

/**
 * Energy density of a sum as the renderer makes it: as `blendPower`, but with the response of the fractional filter where that leaves
 * its band, near half the rate.
 */
export const movedPower = (
  parts: readonly MovedPart[],
  spectra: GroupSpectra,
  sampleRateHz: number,
): Float64Array => {
  const { frequenciesHz } = spectra.bins
  const transfers = parts.map(part => transferOf(part, frequenciesHz, sampleRateHz))
  const power = new Float64Array(frequenciesHz.length)
  for (const { signal, real, imaginary } of transfers) {
    const auto = spectra.auto[signal]!
    for (let k = 0; k < power.length; k++) {
      power[k] = power[k]! + auto[k]! * (real[k]! * real[k]! + imaginary[k]! * imaginary[k]!)
    }
  }
  spectra.pairs.forEach(([i, j], p) => {
    const a = transfers.find(transfer => transfer.signal === i)
    const b = transfers.find(transfer => transfer.signal === j)
    if (a === undefined || b === undefined) return
    const cross = spectra.cross[p]!
    // 2 Re{ conj(A) B Sij }
    for (let k = 0; k < power.length; k++) {
      const re = a.real[k]! * b.real[k]! + a.imaginary[k]! * b.imaginary[k]!
      const im = a.real[k]! * b.imaginary[k]! - a.imaginary[k]! * b.real[k]!
      power[k] = power[k]! + 2 * (re * cross.real[k]! - im * cross.imaginary[k]!)
    }
  })
  return power
}
