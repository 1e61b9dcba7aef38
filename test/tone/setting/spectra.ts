import type { GroupSpectra } from '../../../src/tone/predict/cross-spectra.js'
import type { ToneBins } from '../../../src/tone/predict/tone-bins.js'

/** Spectra made from formulas: what a measurement without any error would give. */

/** Bins exactly where asked, all of one width. */
export const binsAt = (frequenciesHz: readonly number[], widthHz = 1): ToneBins => ({
  frequenciesHz: Float64Array.from(frequenciesHz),
  widthsHz: new Float64Array(frequenciesHz.length).fill(widthHz),
  low: { first: 0, count: 0, scale: 1 },
  normal: { first: 0, count: frequenciesHz.length, scale: 1 },
  lowOversampling: 1,
})

/** What a signal is of the sound at a frequency: real and imaginary part. */
export type Response = (hz: number) => readonly [number, number]

export const flat: Response = () => [1, 0]
/** Later by some seconds. */
export const late =
  (seconds: number): Response =>
  hz => [Math.cos(2 * Math.PI * hz * seconds), -Math.sin(2 * Math.PI * hz * seconds)]

/** Several signals that are one sound through as many responses: fully coherent. `energy`: density of the sound. */
export const coherentSpectra = (
  bins: ToneBins,
  responses: readonly Response[],
  energy: (hz: number) => number = () => 1,
): GroupSpectra => {
  const values = responses.map(response => Array.from(bins.frequenciesHz, response))
  const pairs = responses.flatMap((_, i) => responses.slice(i + 1).map((__, n) => [i, i + 1 + n] as const))
  const densities = Array.from(bins.frequenciesHz, energy)
  return {
    bins,
    pairs,
    auto: values.map(list => Float64Array.from(list, ([re, im], k) => densities[k]! * (re * re + im * im))),
    cross: pairs.map(([i, j]) => ({
      real: Float64Array.from(
        densities,
        (d, k) => d * (values[i]![k]![0] * values[j]![k]![0] + values[i]![k]![1] * values[j]![k]![1]),
      ),
      imaginary: Float64Array.from(
        densities,
        (d, k) => d * (values[i]![k]![0] * values[j]![k]![1] - values[i]![k]![1] * values[j]![k]![0]),
      ),
    })),
  }
}
