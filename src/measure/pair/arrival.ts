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
/** The search leaves less than this to be refined, frames. */
const REACH = 0.75
/** Bins whose coherence is not above what chance gives in 1 of 100 of them do not count. */
const CHANCE = 0.01
/** Never trust a bin beyond this: signal 30 dB over its noise. */
const QUALITY_CAP = 1000

/**
 * Maximum likelihood with a path of its own: a bin of quality `q = γ² / (1 - γ²)` and K values has a phase variance of
 * `1 / (2 K q)`; the path's own phase (reflections, loudspeaker) adds `s²`, estimated from what the phases scatter more than
 * their noise explains. Weight = 1 / (sum of both). For a plain delay s = 0 and the weights are those that reach the
 * Cramér–Rao bound (Knapp & Carter 1976, from memory); for a real path every coherent bin counts nearly alike.
 */
export const refineArrival = (sums: PairSums, nearLag: number, sign: 1 | -1, minHalf = 1): Arrival => {
  const reach = REACH
  let lag = nearLag
  let sound = commonSound(sums, { aroundLag: lag, degrees: DEGREES, maxHalf: MAX_HALF, minHalf })
  let quality = qualities(sound)
  let phaseSpread = 0
  let weights = quality
  for (let round = 0; round < 3; round++) {
    const objective = new LagObjective(weighted(sound, weights), sums.fftSize)
    const left = objective.top(-reach, reach, sign)
    const moved = Math.abs(lag + left - sound.aroundLag)
    lag = sound.aroundLag + left
    if (moved > 0.25 && round === 0) {
      sound = commonSound(sums, { aroundLag: lag, degrees: DEGREES, maxHalf: MAX_HALF, minHalf })
      quality = qualities(sound)
    }
    phaseSpread = ownPhase(sound, quality, lag - sound.aroundLag, sign, sums.fftSize)
    weights = quality.map((q, k) => q / (1 + 2 * sound.degrees[k]! * q * phaseSpread * phaseSpread))
  }
  const objective = new LagObjective(weighted(sound, weights), sums.fftSize)
  lag = sound.aroundLag + objective.top(-reach, reach, sign)
  return { lagSamples: lag, ...errors(sums, quality, weights), phaseSpread, weights, sound }
}

const qualities = (sound: CommonSound): Float64Array =>
  sound.gammaSquared.map((g, k) => {
    const degrees = sound.degrees[k]!
    // Back to the estimate with its bias, whose chance distribution is (1 - t)^(K - 1) (Carter 1987).
    const raw = g + (1 - g) / degrees
    const chance = 1 - portable.exp(portable.log(CHANCE) / Math.max(0.1, degrees - 1))
    return raw > chance ? Math.min(QUALITY_CAP, g / Math.max(1e-12, 1 - g)) : 0
  })

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
