import { type Arrival, weighted } from './arrival.js'
import { LagObjective } from './lag-objective.js'
import type { PairSums } from './pair-sums.js'
import { turnedBy } from './turn.js'

/** Slope and curvature that one part of the time brings to the objective at the final lag. */
export interface FoldPull {
  readonly slope: number
  readonly curvature: number
  /** The objective's own value there: how much of this part's common sound lines up. */
  readonly value: number
}

/** What each fold of the time adds to the pair's objective, with the weights of the whole, at the lag of the whole. */
export const foldPulls = (
  sums: PairSums,
  arrival: Arrival,
  folds: readonly (Float32Array | Float64Array | null)[],
): FoldPull[] =>
  folds.map(cross => {
    if (cross === null) return { slope: 0, curvature: 0, value: 0 }
    const turned = turnedBy(cross, arrival.lagSamples, sums.fftSize)
    const part = { ...arrival.sound, cross: turned }
    return new LagObjective(weighted(part, arrival.weights, arrival.quality), sums.fftSize).at(0)
  })

/** Lag without each fold in turn, by one Newton step from the whole; folds that hold nothing are left out of the list. */
export const lagsWithoutFolds = (lagSamples: number, pulls: readonly FoldPull[]): number[] => {
  const slope = pulls.reduce((sum, p) => sum + p.slope, 0)
  const curvature = pulls.reduce((sum, p) => sum + p.curvature, 0)
  return pulls.map(p => lagSamples - (slope - p.slope) / (curvature - p.curvature))
}

/** Jackknife standard error `sqrt((B - 1) / B * sum (without - mean)^2)`; NaN for fewer than two values. */
export const jackknifeError = (without: readonly number[]): number => {
  if (without.length < 2) return Number.NaN
  const mean = without.reduce((sum, v) => sum + v, 0) / without.length
  const squares = without.reduce((sum, v) => sum + (v - mean) * (v - mean), 0)
  return Math.sqrt(((without.length - 1) / without.length) * squares)
}

/** How many parts of time the expectation from the coherence is worth beside the parts that were seen. */
const PRIOR_PARTS = 6

/**
 * Standard error of a lag: the scatter over time, steadied by what the coherence lets expect (a scatter of 8 parts alone is
 * uncertain by a quarter), and never below the Cramér–Rao bound.
 */
export const statedError = (without: readonly number[], expected: number, bound: number): number => {
  const scatter = jackknifeError(without)
  const parts = without.length - 1
  if (!Number.isFinite(scatter)) return Math.max(bound, expected)
  const variance = (PRIOR_PARTS * expected * expected + parts * scatter * scatter) / (PRIOR_PARTS + parts)
  return Math.max(bound, Math.sqrt(variance))
}
