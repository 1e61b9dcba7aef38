import * as portable from '../../terms/portable.js'
import { dbFromPower } from '../../terms/units.js'
import type { ToneCurve } from '../tone.js'
import type { BlendPower } from './blend-power.js'
import { lossDb } from './loss.js'
import type { ToneBins } from './tone-bins.js'

/** Points of the curves per octave: every second one is a semitone, since one of them is 440 Hz. */
export const POINTS_PER_OCTAVE = 24
/** Lowest frequency of the curves. */
const LOWEST_HZ = 25
/** Frequencies whose sound lies further under the strongest are taken as not played: -60 dB. */
const SILENT_SHARE = 1e-6

/** Frequency of a point, 0 = 440 Hz; fractions lie between points. */
export const hzOfPoint = (point: number): number => 440 * portable.exp((point * Math.LN2) / POINTS_PER_OCTAVE)

const pointOfHz = (hz: number): number => POINTS_PER_OCTAVE * portable.log2(hz / 440)

/** The points of the curves at a sample rate: from 25 Hz to 20 kHz or 0.45 of the rate. */
export const curvePoints = (sampleRateHz: number): { readonly first: number; readonly count: number } => {
  const first = Math.ceil(pointOfHz(LOWEST_HZ))
  return { first, count: Math.floor(pointOfHz(Math.min(20000, 0.45 * sampleRateHz))) - first + 1 }
}

/**
 * Energy around a frequency, from a density per bin: each bin counts by how near it lies, a triangle in the logarithm that falls to 0
 * `reach` points away. Triangles one point wide on the points of the grid so count every bin exactly once.
 */
export const energyAround = (density: Float64Array, bins: ToneBins, point: number, reach: number): number => {
  const { frequenciesHz, widthsHz } = bins
  const from = hzOfPoint(point - reach)
  const to = hzOfPoint(point + reach)
  const split = bins.low.count
  let energy = 0
  // Each resolution is ascending by itself.
  for (const [begin, end] of [
    [0, split],
    [split, frequenciesHz.length],
  ] as const) {
    for (let k = firstAbove(frequenciesHz, begin, end, from); k < end && frequenciesHz[k]! < to; k++) {
      const near = 1 - Math.abs(pointOfHz(frequenciesHz[k]!) - point) / reach
      energy += Math.max(0, near) * widthsHz[k]! * density[k]!
    }
  }
  return energy
}

/** Index of the first value above `limit` in the ascending stretch [from, to). */
const firstAbove = (values: Float64Array, from: number, to: number, limit: number): number => {
  let low = from
  let high = to
  while (low < high) {
    const middle = (low + high) >> 1
    if (values[middle]! > limit) high = middle
    else low = middle + 1
  }
  return low
}

/** Energies of a blend at the points of its curve. */
export interface CurveEnergies {
  readonly frequenciesHz: readonly number[]
  readonly power: Float64Array
  readonly inPhase: Float64Array
}

/** Energy of a blend in a band of a 24th of an octave around each point (triangles that overlap by half). */
export const curveEnergies = (blend: BlendPower, bins: ToneBins, sampleRateHz: number): CurveEnergies => {
  const { first, count } = curvePoints(sampleRateHz)
  const points = Array.from({ length: count }, (_, i) => first + i)
  return {
    frequenciesHz: points.map(hzOfPoint),
    power: Float64Array.from(points, point => Math.max(0, energyAround(blend.power, bins, point, 1))),
    inPhase: Float64Array.from(points, point => energyAround(blend.inPhase, bins, point, 1)),
  }
}

/**
 * The curve that is shown. `loss`: energies of what the parts share; `level`: of the blend as it is; `loudest`: the energy that
 * stands at 0 dB, one for all curves that are compared. null where less than -60 dB of it could sound.
 */
export const toneCurve = (loss: CurveEnergies, level: CurveEnergies, loudest: number): ToneCurve => {
  const played = Array.from(level.inPhase, energy => energy > 0 && energy >= SILENT_SHARE * loudest)
  return {
    lossDb: played.map((sounds, i) => (sounds ? lossDb(loss.power[i]!, loss.inPhase[i]!) : null)),
    levelDb: played.map((sounds, i) =>
      sounds && level.power[i]! > 0 ? dbFromPower(level.power[i]! / loudest) : null,
    ),
  }
}
