import * as portable from '../../terms/portable.js'
import { broadCoherence } from './broad-coherence.js'
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
 * Signal over noise per bin, `q = γ² / (1 - γ²)`; 0 where nothing is shared. `wide`: the same sound smoothed over more bins; `sign`: the polarity at
 * which it is common. Where a bin agrees with the broad sound around it, that tells its γ² far better than the bin alone can: faint treble that no bin
 * could be told from chance by itself still has much of what is to be known about the lag.
 */
export const binQualities = (sound: CommonSound, wide: CommonSound, sign: 1 | -1): Float64Array => {
  const chance = new ChanceLimits(sound)
  const chanceWide = new ChanceLimits(wide)
  const broad = broadCoherence(sound, sign)
  const quality = new Float64Array(sound.gammaSquared.length)
  const isAlone = new Uint8Array(quality.length)
  for (let k = 0; k < quality.length; k++) {
    const own = sound.gammaSquared[k]!
    const around = broad[k]!
    if (isLike(own, around, sound.degrees[k]!)) quality[k] = qualityOf(around)
    else if (own > 0) {
      const raw = chance.raw(k)
      const counts =
        raw > chance.limit(k, 0) || (raw > chance.limit(k, 1) && chanceWide.raw(k) > chanceWide.limit(k, 2))
      if (!counts) continue
      quality[k] = qualityOf(own)
      isAlone[k] = 1
    }
  }
  for (let from = 1; from < quality.length; from *= 2)
    leaveOutSparse(quality, isAlone, from, Math.min(quality.length, 2 * from))
  return quality
}

/** The same of the bins that are clear by themselves; 0 for all others. */
export const clearQualities = (sound: CommonSound): Float64Array => {
  const chance = new ChanceLimits(sound)
  return sound.gammaSquared.map((own, k) => (chance.raw(k) > chance.limit(k, 0) ? qualityOf(own) : 0))
}

// What a whole octave shares in so few of its bins beside the broad sound is chance, and the higher the octave the more it would pull.
const leaveOutSparse = (quality: Float64Array, isAlone: Uint8Array, from: number, to: number): void => {
  let count = 0
  for (let k = from; k < to; k++) count += isAlone[k]!
  if (count >= SPARSE * (to - from)) return
  for (let k = from; k < to; k++) if (isAlone[k] === 1) quality[k] = 0
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
