import * as portable from '../../terms/portable.js'
import type { CommonSound } from './common-sound.js'

/** Only groups that are clear by themselves tell of the path: the phase of one that is common by chance, or next to nothing, is anything. Variance, rad². */
const MOST_VARIANCE = 0.04
const FEWEST_GROUPS = 4
/** Twice what a scatter must gain over none in log-likelihood: chance gains that in one of a hundred and forty cases (half of χ² with one degree). */
const LIKELIER = 6
const ROUNDS = 20
/** Rounds end once the variance changes by less than this part of itself. */
const SETTLED = 1e-4

/** Phase of a group of neighbouring bins, seen at the lag so far: radians, the variance of its noise, and radians per frame of lag. */
interface GroupPhase {
  readonly phase: number
  readonly variance: number
  readonly perFrame: number
}

/**
 * What the path itself adds to the phases beside a pure delay of about `lag` frames (against `sound.aroundLag`), radians rms; 0 where it
 * cannot be told from noise or where fewer than four groups of bins are clear enough.
 */
export const ownPhase = (
  sound: CommonSound,
  quality: Float64Array,
  lag: number,
  sign: 1 | -1,
  fftSize: number,
): number => {
  const groups = groupPhases(sound, quality, lag, sign, fftSize)
  return groups.length < FEWEST_GROUPS ? 0 : Math.sqrt(likeliestVariance(groups))
}

// Groups that do not overlap.
const groupPhases = (
  sound: CommonSound,
  quality: Float64Array,
  lag: number,
  sign: 1 | -1,
  fftSize: number,
): GroupPhase[] => {
  const groups: GroupPhase[] = []
  for (let k = 1; k < quality.length; k += 2 * sound.half[k]! + 1) {
    const own = sound.gammaSquared[k]!
    const q = Math.min(quality[k]!, own / Math.max(1e-12, 1 - own))
    if (q === 0) continue
    const variance = 1 / (2 * sound.degrees[k]! * q)
    if (variance > MOST_VARIANCE) continue
    const perFrame = (2 * Math.PI * k) / fftSize
    const cos = portable.cos(perFrame * lag)
    const sin = portable.sin(perFrame * lag)
    const re = sound.smooth[2 * k]! * cos - sound.smooth[2 * k + 1]! * sin
    const im = sound.smooth[2 * k]! * sin + sound.smooth[2 * k + 1]! * cos
    groups.push({ phase: portable.atan2(sign * im, sign * re), variance, perFrame })
  }
  return groups
}

/**
 * A phase is normal around its part of the delay with variance `v + s²`, v of its noise and s² of the path. The most likely s² makes the
 * sum of `(x² - v - s²) / (v + s²)²` zero for the residuals x; it is found by taking each new s² as the mean of `x² - v` so weighted, beside
 * the delay that fits best with the weights `1 / (v + s²)`. Unweighted, a single group that is common by chance, whose phase is anything,
 * would outvote all clear ones, and so would a lag that is not quite found yet: a plain delay would seem to scatter. Two standard errors of the
 * mean under pure noise are not counted as the path's own, and a scatter that is not clearly likelier than none is none.
 */
const likeliestVariance = (groups: readonly GroupPhase[]): number => {
  let own = 0
  for (let round = 0; round < ROUNDS; round++) {
    const moved = bestDelay(groups, own)
    let sum = 0
    let weights = 0
    let squares = 0
    for (const { phase, variance, perFrame } of groups) {
      const weight = 1 / ((variance + own) * (variance + own))
      const residual = phase - moved * perFrame
      sum += weight * (residual * residual - variance)
      weights += weight
      squares += (weight * variance) ** 2
    }
    const before = own
    own = Math.max(0, (sum - 2 * Math.sqrt(2 * squares)) / weights)
    if (Math.abs(own - before) <= SETTLED * own) break
  }
  return 2 * (logLikelihood(groups, own) - logLikelihood(groups, 0)) > LIKELIER ? own : 0
}

const logLikelihood = (groups: readonly GroupPhase[], own: number): number => {
  const moved = bestDelay(groups, own)
  let sum = 0
  for (const { phase, variance, perFrame } of groups) {
    const residual = phase - moved * perFrame
    sum -= (residual * residual) / (variance + own) / 2 + portable.log(variance + own) / 2
  }
  return sum
}

const bestDelay = (groups: readonly GroupPhase[], own: number): number => {
  let sum = 0
  let weights = 0
  for (const { phase, variance, perFrame } of groups) {
    sum += (perFrame * phase) / (variance + own)
    weights += (perFrame * perFrame) / (variance + own)
  }
  return sum / weights
}
