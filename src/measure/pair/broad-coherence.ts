import * as portable from '../../terms/portable.js'
import type { CommonSound } from './common-sound.js'
import { type BandCoherence, evidenceOf, likeliestProfile } from './likeliest-profile.js'

/** A third of an octave. */
interface ThirdOctave extends BandCoherence {
  /** Bins `from` … `to`, without the last. */
  readonly from: number
  readonly to: number
}

const RATIO = 2 ** (1 / 3)
const LOWEST_BIN = 4
/**
 * Above the highest band whose evidence, with that of all above it, exceeds this many nats, γ may only fall, by 12 dB per octave at least: as a sound
 * that falls by 6 dB per octave does in noise that does not.
 */
const EVIDENCE = 8
const FALL = 2

/** Every bin one vote, whatever its level: in phase with the lag at which `sound` is seen and with `sign`. */
const thirdOctaves = ({ cross, level, degrees, half }: CommonSound, sign: 1 | -1): ThirdOctave[] => {
  const bands: ThirdOctave[] = []
  const end = level.length - 1
  for (let from = LOWEST_BIN; from < end; ) {
    const to = Math.min(end, Math.max(from + 2, Math.round(from * RATIO)))
    let sum = 0
    let count = 0
    for (let k = from; k < to; k++) {
      if (!(level[k]! > 0)) continue
      sum += (sign * cross[2 * k]!) / level[k]!
      count += degrees[k]! / (2 * half[k]! + 1)
    }
    // Levels are smoothed over more bins than a narrow band has: its mean may come out above what so few values can tell.
    bands.push({ from, to, count, inPhase: Math.min(sum / (to - from), count / (count + 1)) })
    from = to
  }
  return bands
}

/**
 * γ² that all bins around each have in common, from third octaves and what is likely between them; close to 0 where nothing is shared. For sound
 * like noise; between the partials of notes it is far less than theirs.
 */
export const broadCoherence = (sound: CommonSound, sign: 1 | -1): Float64Array => {
  const bands = thirdOctaves(sound, sign)
  const gammaSquared = new Float64Array(sound.level.length)
  if (bands.length < 3) return gammaSquared
  const logs = likeliestProfile(bands)
  if (!limitTreble(bands, logs)) return gammaSquared
  const gammas = logs.map(portable.exp)
  let b = 0
  for (let k = LOWEST_BIN; k < sound.level.length - 1; k++) {
    while (b + 2 < bands.length && k > middle(bands[b + 1]!)) b++
    const low = middle(bands[b]!)
    const share = Math.min(1, Math.max(0, (k - low) / (middle(bands[b + 1]!) - low)))
    const gamma = gammas[b]! + share * (gammas[b + 1]! - gammas[b]!)
    gammaSquared[k] = gamma * gamma
  }
  return gammaSquared
}

/** How much likelier common sound at the lag at which `sound` is seen makes all bands together than none would, nats. */
export const broadEvidence = (sound: CommonSound, sign: 1 | -1): number => {
  const bands = thirdOctaves(sound, sign)
  return evidenceOf(bands, likeliestProfile(bands)).reduce((sum, e) => sum + e, 0)
}

const middle = ({ from, to }: ThirdOctave): number => (from + to - 1) / 2

// False where all bands together have no evidence.
const limitTreble = (bands: readonly ThirdOctave[], logs: Float64Array): boolean => {
  const evidence = evidenceOf(bands, logs)
  let last = bands.length - 1
  let sum = Math.max(0, evidence[last]!)
  while (sum <= EVIDENCE && last > 0) {
    last--
    sum = Math.max(0, sum + evidence[last]!)
  }
  if (sum <= EVIDENCE) return false
  for (let b = last + 1; b < bands.length; b++) {
    const nepers = portable.log(middle(bands[b]!) / middle(bands[last]!))
    logs[b] = Math.min(logs[b]!, logs[last]! - FALL * nepers)
  }
  return true
}
