import { binQualities, clearQualities } from './bin-quality.js'
import { type CommonSound, commonSoundIn, type SoundFrame, soundFrame } from './common-sound.js'
import { LagObjective } from './lag-objective.js'
import { ownPhase } from './own-phase.js'
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
  /** Signal over noise per bin, `γ² / (1 - γ²)`, as it was taken to be; 0 where nothing is shared. */
  readonly quality: Float64Array
  /** Weight per bin that was used: `J = sum w cos(phase)`, real, 0 where nothing is shared. */
  readonly weights: Float64Array
  readonly sound: CommonSound
}

/** Smoothing of the bins' own coherence, and of that of the band around each. */
const NEAR = { degrees: 160, maxHalf: 96 }
const WIDE = { degrees: 1600, maxHalf: 192 }
/** The search leaves at least this to be refined, frames; with narrow-band sound more, see `reachOf`. */
const REACH = 0.75
const ROUNDS = 5
/** The coherence is taken afresh where the lag has moved more than this, frames: phases must be straight before they are smoothed. */
const STRAIGHT = 0.02
/** Rounds end early once the lag moves less than this, frames. */
const SETTLED = 1e-5

/**
 * Maximum likelihood with a path of its own: a bin of quality `q = γ² / (1 - γ²)` and K values has a phase variance of
 * `1 / (2 K q)`; the path's own phase (reflections, loudspeaker) adds `s²`, estimated from what the phases scatter more than
 * their noise explains. Weight = 1 / (sum of both). For a plain delay s = 0 and the weights are those that reach the
 * Cramér–Rao bound (Knapp & Carter 1976, from memory); for a real path every coherent bin counts nearly alike.
 * Lag, scatter and weights depend on each other, so they are found in turn.
 */
export const refineArrival = (sums: PairSums, nearLag: number, sign: 1 | -1, minHalf = 1): Arrival => {
  const near = soundFrame(sums, { ...NEAR, minHalf })
  const wide = soundFrame(sums, { ...WIDE, minHalf })
  let lag = clearLag(near, nearLag, sign)
  let { sound, quality } = heard(near, wide, lag, sign)
  let { phaseSpread, weights } = weightsOf(sound, quality, lag, sign, sums.fftSize)
  for (let round = 0; round < ROUNDS; round++) {
    const objective = new LagObjective(weighted(sound, weights, quality), sums.fftSize)
    const before = lag
    lag = sound.aroundLag + objective.nearTop(lag - sound.aroundLag, reachOf(weights, sums.fftSize), sign)
    if (Math.abs(lag - sound.aroundLag) > STRAIGHT) ({ sound, quality } = heard(near, wide, lag, sign))
    ;({ phaseSpread, weights } = weightsOf(sound, quality, lag, sign, sums.fftSize))
    if (Math.abs(lag - before) < SETTLED) break
  }
  const objective = new LagObjective(weighted(sound, weights, quality), sums.fftSize)
  const left = lag - sound.aroundLag
  lag = sound.aroundLag + objective.top(left - REACH, left + REACH, sign)
  return { lagSamples: lag, ...errors(sums, quality, weights), phaseSpread, quality, weights, sound }
}

// First by the bins alone that are clear by themselves: at a lag a little off, chance would choose those that say the same.
const clearLag = (near: SoundFrame, lag: number, sign: 1 | -1): number => {
  const sound = commonSoundIn(near, lag)
  const quality = clearQualities(sound)
  if (quality.every(q => q === 0)) return lag
  const { fftSize } = near.sums
  const { weights } = weightsOf(sound, quality, lag, sign, fftSize)
  const objective = new LagObjective(weighted(sound, weights, quality), fftSize)
  return lag + objective.nearTop(0, reachOf(weights, fftSize), sign)
}

const weightsOf = (
  sound: CommonSound,
  quality: Float64Array,
  lag: number,
  sign: 1 | -1,
  fftSize: number,
): { phaseSpread: number; weights: Float64Array } => {
  const phaseSpread = ownPhase(sound, quality, lag - sound.aroundLag, sign, fftSize)
  const weights = quality.map((q, k) => q / (1 + 2 * sound.degrees[k]! * q * phaseSpread * phaseSpread))
  return { phaseSpread, weights }
}

const heard = (
  near: SoundFrame,
  wide: SoundFrame,
  aroundLag: number,
  sign: 1 | -1,
): { sound: CommonSound; quality: Float64Array } => {
  const sound = commonSoundIn(near, aroundLag)
  return { sound, quality: binQualities(sound, commonSoundIn(wide, aroundLag), sign) }
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

/** Cross-spectrum with its expected size divided out, `γ √(S̄₁₁ S̄₂₂)`, and the weights put on. */
export const weighted = (sound: CommonSound, weights: Float64Array, quality: Float64Array): Float64Array => {
  const out = new Float64Array(sound.cross.length)
  for (let k = 0; k < weights.length; k++) {
    if (weights[k] === 0) continue
    const q = quality[k]!
    const size = sound.level[k]! * Math.sqrt(q / (1 + q))
    out[2 * k] = (sound.cross[2 * k]! / size) * weights[k]!
    out[2 * k + 1] = (sound.cross[2 * k + 1]! / size) * weights[k]!
  }
  return out
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
