import * as portable from '../../terms/portable.js'
import type { Resolution, SpectralGrid } from '../spectra/resolution.js'

/**
 * The bins of both resolutions as one list: low ones below the crossover, normal ones above, both in it. `widthsHz` is how much
 * of the frequency axis each stands for, so that energy is always sum of density * width, wherever a bin comes from.
 */
export interface ToneBins {
  readonly frequenciesHz: Float64Array
  readonly widthsHz: Float64Array
  /** Which bins of each resolution stand in the list: the low ones first. */
  readonly low: BinRange
  readonly normal: BinRange
  /** How far apart independent values lie, in bins of the list: padding with zeros makes the low ones overlap. */
  readonly lowOversampling: number
}

export interface BinRange {
  readonly first: number
  readonly count: number
  readonly scale: number
}

/** From one resolution to the other: half a cosine, so that no band sees an edge. */
const CROSSOVER_FROM_HZ = 400
const CROSSOVER_TO_HZ = 600

/** Share of the low resolution at a frequency. */
const lowShare = (hz: number): number => {
  if (hz <= CROSSOVER_FROM_HZ) return 1
  if (hz >= CROSSOVER_TO_HZ) return 0
  const position = (hz - CROSSOVER_FROM_HZ) / (CROSSOVER_TO_HZ - CROSSOVER_FROM_HZ)
  return 0.5 + 0.5 * portable.cos(Math.PI * position)
}

const rangeOf = (resolution: Resolution, fromHz: number, toHz: number): BinRange => {
  const first = Math.ceil(fromHz / resolution.binHz)
  const last = Math.floor(toHz / resolution.binHz)
  return { first, count: last - first + 1, scale: resolution.scale }
}

/** Pure. 0 Hz to half the rate. */
export const toneBins = (grid: SpectralGrid): ToneBins => {
  const low = rangeOf(grid.low, 0, CROSSOVER_TO_HZ)
  const normal = rangeOf(grid.normal, CROSSOVER_FROM_HZ, grid.sampleRateHz / 2)
  const frequenciesHz = new Float64Array(low.count + normal.count)
  const widthsHz = new Float64Array(low.count + normal.count)
  for (let i = 0; i < low.count; i++) {
    const hz = (low.first + i) * grid.low.binHz
    frequenciesHz[i] = hz
    widthsHz[i] = lowShare(hz) * grid.low.binHz * (hz === 0 ? 0.5 : 1)
  }
  for (let i = 0; i < normal.count; i++) {
    const hz = (normal.first + i) * grid.normal.binHz
    const isLast = normal.first + i === grid.normal.fftSize / 2
    frequenciesHz[low.count + i] = hz
    widthsHz[low.count + i] = (1 - lowShare(hz)) * grid.normal.binHz * (isLast ? 0.5 : 1)
  }
  return {
    frequenciesHz,
    widthsHz,
    low,
    normal,
    lowOversampling: grid.low.fftSize / grid.low.window.length,
  }
}
