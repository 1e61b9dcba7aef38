import * as portable from '../../terms/portable.js'
import { type GatheredSpectra, pairOf } from '../group/gather.js'
import { commonSound } from '../pair/common-sound.js'
import { searchLags } from '../pair/search.js'
import type { Side } from './side-words.js'

/** Where a pair of microphones hears the sound of another track. */
export interface PairImage {
  readonly side: Side
  /** How much louder its sound is on the right, dB; negative = louder on the left. */
  readonly levelDb: number
  /** How much later it comes on the right, frames; null where that is not clear, or the spot is not close. */
  readonly lateSamples: number | null
}

/** Left and right may be this far apart in time, seconds: more than two metres of air. */
const REACH_SECONDS = 0.007
const DEGREES = 160
const MAX_HALF = 96
/** Least part of a channel's sound that the spot explains. */
const LEAST_SHARE = 0.05
/** A difference of level is a side from here on; two gains are rarely set more than 1 dB apart. */
const LEAST_DB = 2
/** With the time saying the same, from here on. */
const LEAST_DB_IN_TIME = 1
/** Two stands are hardly set nearer alike than to 3 cm. */
const LEAST_SECONDS = 1e-4
const CLEAR_SCORE = 0.3

/**
 * Side on which the channels `left` and `right` of a pair hear what is played on the track `spot`: by the level of what they
 * share with it. Where the spot stands `close` to its instrument, the side that the sound reaches first must not contradict; a
 * distant microphone hears several instruments, and which of them sets the lag differs from side to side. Null where little
 * is shared or no side is told. All three are traces of `gathered`.
 */
export const pairImage = (
  gathered: GatheredSpectra,
  spot: number,
  left: number,
  right: number,
  close: boolean,
): PairImage | null => {
  const l = heardIn(gathered, spot, left)
  const r = heardIn(gathered, spot, right)
  if (l === null || r === null || Math.max(l.share, r.share) < LEAST_SHARE) return null
  const levelDb = 10 * portable.log10(r.energy / l.energy)
  const side = levelDb > 0 ? 'right' : 'left'
  const lateSamples =
    !close || l.lagSamples === null || r.lagSamples === null ? null : r.lagSamples - l.lagSamples
  const inTime =
    lateSamples === null || Math.abs(lateSamples) < LEAST_SECONDS * gathered.plan.grid.sampleRateHz
      ? null
      : lateSamples > 0 === (side === 'left')
  const least = inTime === true ? LEAST_DB_IN_TIME : LEAST_DB
  return inTime === false || Math.abs(levelDb) < least ? null : { side, levelDb, lateSamples }
}

interface Heard {
  /** Of the spot's sound in the channel, in the scale of its auto-spectrum. */
  readonly energy: number
  /** Part of all that the channel holds. */
  readonly share: number
  readonly lagSamples: number | null
}

const heardIn = (gathered: GatheredSpectra, spot: number, channel: number): Heard | null => {
  const forward = gathered.plan.pairs.findIndex(([a, b]) => a === spot && b === channel)
  const backward = gathered.plan.pairs.findIndex(([a, b]) => a === channel && b === spot)
  const index = forward >= 0 ? forward : backward
  if (index < 0) return null
  const { sums } = pairOf(gathered, index)
  const [peak] = searchLags(sums, REACH_SECONDS * sums.sampleRateHz).peaks
  if (peak === undefined) return null
  const sound = commonSound(sums, { aroundLag: peak.lagSamples, degrees: DEGREES, maxHalf: MAX_HALF })
  const own = forward >= 0 ? sums.second : sums.first
  let energy = 0
  let all = 0
  own.forEach((power, k) => {
    energy += power * sound.gammaSquared[k]!
    all += power
  })
  if (!(energy > 0)) return null
  const late = forward >= 0 ? peak.lagSamples : -peak.lagSamples
  return { energy, share: energy / all, lagSamples: peak.score > CLEAR_SCORE ? late : null }
}
