import * as portable from '../../terms/portable.js'
import { type CommonSound, commonSound } from './common-sound.js'
import { LagObjective } from './lag-objective.js'
import type { PairSums } from './pair-sums.js'

/** The lag as exactly as the sums allow, near a peak that the search found. */
export interface Arrival {
  /** Frames, against the sums' own zero. */
  readonly lagSamples: number
  /** Least error that the coherence allows (Cramér–Rao), frames. */
  readonly boundSamples: number
  /** Error expected for the weights that were used, from the same coherence; at least the bound. */
  readonly expectedSamples: number
  /** What the path itself adds to the phase beside a pure delay, radians rms over the common band. */
  readonly phaseSpread: number
  /** Weight per bin that was used: `J = sum w cos(phase)`, real, 0 where nothing is shared. */
  readonly weights: Float64Array
  readonly sound: CommonSound
}

const DEGREES = 160
const MAX_HALF = 96
/** The search leaves at least this to be refined, frames; with narrow-band sound more, see `reachOf`. */
const REACH = 0.75
const ROUNDS = 5
/** The coherence is taken afresh where the lag has moved more than this, frames: phases must be straight before they are smoothed. */
const STRAIGHT = 0.02
/** Rounds end early once the lag moves less than this, frames. */
const SETTLED = 1e-5
/**
 * A bin counts where its coherence is above what chance gives in one of a million bins; or in one of a hundred, if the wider band around it
 * is above what chance gives in one of ten thousand. One of a hundred alone is too many: among 4,000 bins of noise 40 pass, and those in the
 * treble, whose phase moves most with the lag, then outweigh a common sound that lives in a hundred bins of bass.
 */
const CHANCE_ALONE = 1e-6
const CHANCE = 0.01
const CHANCE_WIDE = 1e-4
const WIDE = { degrees: 1600, maxHalf: 192 }
/** Never trust a bin beyond this: signal 30 dB over its noise. */
const QUALITY_CAP = 1000

/**
 * Maximum likelihood with a path of its own: a bin of quality `q = γ² / (1 - γ²)` and K values has a phase variance of
 * `1 / (2 K q)`; the path's own phase (reflections, loudspeaker) adds `s²`, estimated from what the phases scatter more than
 * their noise explains. Weight = 1 / (sum of both). For a plain delay s = 0 and the weights are those that reach the
 * Cramér–Rao bound (Knapp & Carter 1976, from memory); for a real path every coherent bin counts nearly alike.
 * Lag, scatter and weights depend on each other, so they are found in turn.
 */
export const refineArrival = (sums: PairSums, nearLag: number, sign: 1 | -1, minHalf = 1): Arrival => {
  let lag = nearLag
  let { sound, quality } = heard(sums, lag, minHalf)
  let phaseSpread = 0
  const weightsNow = (): Float64Array => {
    phaseSpread = ownPhase(sound, quality, lag - sound.aroundLag, sign, sums.fftSize)
    const weights = new Float64Array(quality.length)
    for (let k = 0; k < weights.length; k++) {
      const q = quality[k]!
      weights[k] = q / (1 + 2 * sound.degrees[k]! * q * phaseSpread * phaseSpread)
    }
    return weights
  }
  let weights = weightsNow()
  for (let round = 0; round < ROUNDS; round++) {
    const objective = new LagObjective(weighted(sound, weights), sums.fftSize)
    const before = lag
    lag =
      sound.aroundLag + objective.nearTop(lag - sound.aroundLag, reachOf(weights, sums.fftSize), REACH, sign)
    if (Math.abs(lag - sound.aroundLag) > STRAIGHT) ({ sound, quality } = heard(sums, lag, minHalf))
    weights = weightsNow()
    if (Math.abs(lag - before) < SETTLED) break
  }
  const objective = new LagObjective(weighted(sound, weights), sums.fftSize)
  const left = lag - sound.aroundLag
  lag = sound.aroundLag + objective.top(left - REACH, left + REACH, sign)
  return { lagSamples: lag, ...errors(sums, quality, weights), phaseSpread, weights, sound }
}

const heard = (
  sums: PairSums,
  aroundLag: number,
  minHalf: number,
): { sound: CommonSound; quality: Float64Array } => {
  const sound = commonSound(sums, { aroundLag, degrees: DEGREES, maxHalf: MAX_HALF, minHalf })
  return { sound, quality: qualities(sound, commonSound(sums, { aroundLag, ...WIDE, minHalf })) }
}

// A third of a cycle of the weights' rms frequency: nearer than the next top of either sign.
const reachOf = (weights: Float64Array, fftSize: number): number => {
  let sum = 0
  let square = 0
  for (let k = 0; k < weights.length; k++) {
    sum += weights[k]!
    square += weights[k]! * k * k
  }
  return Math.max(REACH, square > 0 ? fftSize / (3 * Math.sqrt(square / sum)) : 0)
}

const qualities = (sound: CommonSound, wide: CommonSound): Float64Array => {
  const chance = new ChanceLimits(sound)
  const chanceWide = new ChanceLimits(wide)
  const quality = new Float64Array(sound.gammaSquared.length)
  for (let k = 0; k < quality.length; k++) {
    const g = sound.gammaSquared[k]!
    if (g === 0) continue
    const raw = chance.raw(k)
    const counts =
      raw > chance.limit(k, 0) || (raw > chance.limit(k, 1) && chanceWide.raw(k) > chanceWide.limit(k, 2))
    if (counts) quality[k] = Math.min(QUALITY_CAP, g / Math.max(1e-12, 1 - g))
  }
  return quality
}

const LOG_PARTS = [CHANCE_ALONE, CHANCE, CHANCE_WIDE].map(part => portable.log(part))

/** Coherence as it was estimated, and what chance exceeds in a part of the bins. Limits are kept while K is the same from bin to bin. */
class ChanceLimits {
  readonly #sound: CommonSound
  readonly #kept = LOG_PARTS.map(() => 0)
  readonly #keptDegrees = LOG_PARTS.map(() => 0)

  constructor(sound: CommonSound) {
    this.#sound = sound
  }

  raw(k: number): number {
    const g = this.#sound.gammaSquared[k]!
    return g + (1 - g) / this.#sound.degrees[k]!
  }

  // The chance distribution of the raw estimate is (1 - t)^(K - 1) (Carter 1987).
  limit(k: number, part: 0 | 1 | 2): number {
    const degrees = this.#sound.degrees[k]!
    if (this.#keptDegrees[part] !== degrees) {
      this.#keptDegrees[part] = degrees
      this.#kept[part] = 1 - portable.exp(LOG_PARTS[part]! / Math.max(0.1, degrees - 1))
    }
    return this.#kept[part]!
  }
}

/** Cross-spectrum with its smoothed size divided out and the weights put on. */
export const weighted = (sound: CommonSound, weights: Float64Array): Float64Array => {
  const out = new Float64Array(sound.cross.length)
  for (let k = 0; k < weights.length; k++) {
    if (weights[k] === 0) continue
    const size = portable.hypot(sound.smooth[2 * k]!, sound.smooth[2 * k + 1]!)
    out[2 * k] = (sound.cross[2 * k]! / size) * weights[k]!
    out[2 * k + 1] = (sound.cross[2 * k + 1]! / size) * weights[k]!
  }
  return out
}

// Excess of the squared phases over their noise, over neighbouring groups of bins that do not overlap.
const ownPhase = (
  sound: CommonSound,
  quality: Float64Array,
  lag: number,
  sign: 1 | -1,
  fftSize: number,
): number => {
  let excess = 0
  let squares = 0
  let count = 0
  for (let k = 1; k < quality.length; k += 2 * sound.half[k]! + 1) {
    const q = quality[k]!
    if (q === 0) continue
    const variance = 1 / (2 * sound.degrees[k]! * q)
    if (variance > 0.3) continue
    const angle = (2 * Math.PI * k * lag) / fftSize
    const re = sound.smooth[2 * k]! * portable.cos(angle) - sound.smooth[2 * k + 1]! * portable.sin(angle)
    const im = sound.smooth[2 * k]! * portable.sin(angle) + sound.smooth[2 * k + 1]! * portable.cos(angle)
    const phase = portable.atan2(sign * im, sign * re)
    excess += phase * phase - variance
    squares += variance * variance
    count++
  }
  if (count < 4) return 0
  // Two standard errors of the excess under pure noise are not counted as the path's own.
  const doubt = 2 * Math.sqrt(2 * squares)
  return Math.sqrt(Math.max(0, (excess - doubt) / count))
}

/**
 * Bound and expected error, frames: `1 / sum(w² / v) …` with the phase variance of one bin over the sounding time,
 * `2 T df q` independent looks at a bin of width df.
 */
const errors = (sums: PairSums, quality: Float64Array, weights: Float64Array) => {
  const looks = 2 * sums.seconds * (sums.sampleRateHz / sums.fftSize)
  let information = 0
  let slope = 0
  let noise = 0
  for (let k = 1; k < quality.length; k++) {
    const q = quality[k]!
    if (q === 0) continue
    const omega = (2 * Math.PI * k) / sums.fftSize
    information += omega * omega * q
    slope += omega * omega * weights[k]!
    noise += (omega * omega * weights[k]! * weights[k]!) / q
  }
  if (information === 0)
    return { boundSamples: Number.POSITIVE_INFINITY, expectedSamples: Number.POSITIVE_INFINITY }
  const boundSamples = 1 / Math.sqrt(looks * information)
  return { boundSamples, expectedSamples: Math.max(boundSamples, Math.sqrt(noise / looks) / slope) }
}
