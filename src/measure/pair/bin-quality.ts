import * as portable from '../../terms/portable.js'
import type { CommonSound } from './common-sound.js'

/**
 * A bin counts where its coherence is above what chance gives in one of a million bins; or in one of a hundred, if the wider band around it
 * is above what chance gives in one of ten thousand. One of a hundred alone is too many: among 4,000 bins of noise 40 pass, and those in the
 * treble, whose phase moves most with the lag, then outweigh a common sound that lives in a hundred bins of bass.
 */
const CHANCE_ALONE = 1e-6
const CHANCE = 0.01
const CHANCE_WIDE = 1e-4
/** Never trust a bin beyond this: signal 30 dB over its noise. */
const QUALITY_CAP = 1000
/** A bin is like its surroundings within so many standard errors of its own coherence. */
const LIKE = 2
const SPARSE = 0.02

/**
 * Signal over noise per bin, `q = γ² / (1 - γ²)`; 0 where nothing is shared. `wide`: the same sound smoothed over more bins.
 * Where a bin agrees with the broad sound on both sides of it, that tells its γ² far better than the bin alone can: faint treble that no bin could
 * be told from chance by itself still has most of what is to be known about the lag.
 */
export const binQualities = (sound: CommonSound, wide: CommonSound): Float64Array => {
  const chance = new ChanceLimits(sound)
  const chanceWide = new ChanceLimits(wide)
  const broad = broadCoherence(sound)
  const quality = new Float64Array(sound.gammaSquared.length)
  for (let k = 0; k < quality.length; k++) {
    const own = sound.gammaSquared[k]!
    const around = broad[k]!
    if (around > 0 && isLike(own, around, sound.degrees[k]!)) quality[k] = qualityOf(around)
    else if (own > 0) {
      const raw = chance.raw(k)
      const counts =
        raw > chance.limit(k, 0) || (raw > chance.limit(k, 1) && chanceWide.raw(k) > chanceWide.limit(k, 2))
      if (counts) quality[k] = qualityOf(own)
    }
  }
  for (let from = 1; from < quality.length; from *= 2) leaveOutSparse(quality, from, 2 * from)
  return quality
}

// What a whole octave shares in so few of its bins is chance, and the higher the octave the more it would pull.
const leaveOutSparse = (quality: Float64Array, from: number, to: number): void => {
  const octave = quality.subarray(from, to)
  const counting = octave.reduce((count, q) => count + (q > 0 ? 1 : 0), 0)
  if (counting < SPARSE * octave.length) octave.fill(0)
}

const qualityOf = (gammaSquared: number): number =>
  Math.min(QUALITY_CAP, gammaSquared / Math.max(1e-12, 1 - gammaSquared))

// Variance of an estimated γ²: 2 γ² (1 - γ²)² / K (Carter 1987), and 1 / K² where there is none.
const isLike = (own: number, around: number, degrees: number): boolean => {
  const variance = (2 * around * (1 - around) ** 2) / degrees + 1 / (degrees * degrees)
  return (own - around) ** 2 <= LIKE * LIKE * variance
}

const LOG_PARTS = [CHANCE_ALONE, CHANCE, CHANCE_WIDE].map(part => portable.log(part))

// What chance exceeds in a part of the cases: its raw estimate is distributed as (1 - t)^(K - 1) (Carter 1987).
const chanceLimit = (logPart: number, degrees: number): number =>
  1 - portable.exp(logPart / Math.max(0.1, degrees - 1))

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

  limit(k: number, part: 0 | 1 | 2): number {
    const degrees = this.#sound.degrees[k]!
    if (this.#keptDegrees[part] !== degrees) {
      this.#keptDegrees[part] = degrees
      this.#kept[part] = chanceLimit(LOG_PARTS[part]!, degrees)
    }
    return this.#kept[part]!
  }
}

/**
 * γ² of all bins from half to one and a half times the frequency, every bin with the same vote whatever its level; 0 where either side by
 * itself is not above what chance gives in one of a hundred cases: beyond the edge of a band nothing is shared.
 */
const broadCoherence = (sound: CommonSound): Float64Array => {
  const { cross, level, degrees, half } = sound
  const bins = level.length
  const re = new Float64Array(bins + 1)
  const im = new Float64Array(bins + 1)
  for (let k = 0; k < bins; k++) {
    const size = level[k]!
    re[k + 1] = re[k]! + (size > 0 ? cross[2 * k]! / size : 0)
    im[k + 1] = im[k]! + (size > 0 ? cross[2 * k + 1]! / size : 0)
  }
  const squareOfMean = (from: number, to: number): number => {
    const a = (re[to]! - re[from]!) / (to - from)
    const b = (im[to]! - im[from]!) / (to - from)
    return a * a + b * b
  }
  const gammaSquared = new Float64Array(bins)
  for (let k = 2; k < bins; k++) {
    const reach = Math.min(k >> 1, bins - 1 - k)
    if (reach <= half[k]!) continue
    const degreesOfSide = (degrees[k]! * (reach + 1)) / (2 * half[k]! + 1)
    const limit = chanceLimit(LOG_PARTS[1]!, degreesOfSide)
    if (squareOfMean(k - reach, k + 1) <= limit || squareOfMean(k, k + reach + 1) <= limit) continue
    const chance = 1 / (2 * degreesOfSide)
    const raw = squareOfMean(k - reach, k + reach + 1)
    gammaSquared[k] = Math.min(1, Math.max(0, (raw - chance) / (1 - chance)))
  }
  return gammaSquared
}
