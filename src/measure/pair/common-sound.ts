import { registerOf } from '../spectra/registers.js'
import type { PairSums } from './pair-sums.js'
import { runningMean } from './smooth.js'
import { turnedBy } from './turn.js'

/** What two traces share, bin by bin, seen at a certain lag. */
export interface CommonSound {
  /** Cross-spectrum turned by `aroundLag`, not smoothed, interleaved. */
  readonly cross: Float64Array
  /** The same smoothed. */
  readonly smooth: Float64Array
  /** Root of the product of both smoothed auto-spectra. */
  readonly level: Float64Array
  /** Magnitude-squared coherence with the bias of unrelated tracks taken off, 0 … 1. */
  readonly gammaSquared: Float64Array
  /** Independent values behind each `gammaSquared`: frames times smoothed bins. */
  readonly degrees: Float64Array
  /** Bins on each side that were smoothed over. */
  readonly half: Int32Array
  readonly aroundLag: number
  /** Another sound is common at another lag: bins in which it cancels some of the coherence are held down further. */
  readonly selective?: boolean
}

export interface CommonSoundOptions {
  /** Lag at which the phases are straightened before smoothing, frames. */
  readonly aroundLag: number
  /** Smooth over as many bins as bring the independent values to this number … */
  readonly degrees: number
  /** … but over at most so many on each side, and at least this many (1): more let sound at other lags cancel out. */
  readonly maxHalf: number
  readonly minHalf?: number
}

/** Neighbouring bins of a Hann frame are not independent: its noise bandwidth is 1.5 bins. */
const BINS_PER_VALUE = 1.5
const LOWEST_HZ = 25
/** Bins this far under the strongest (power) hold rounding, not sound: -130 dB. */
const DYNAMIC_RANGE = 1e-13

/** What does not depend on the lag at which the phases are straightened. */
export interface SoundFrame {
  readonly sums: PairSums
  readonly half: Int32Array
  readonly degrees: Float64Array
  readonly level: Float64Array
  /** Product of both smoothed auto-spectra; 0 in bins that count as nothing shared. */
  readonly product: Float64Array
  readonly selective: boolean
}

/** The smoothing and the levels of a pair; bins under 25 Hz count as nothing shared. */
export const soundFrame = (sums: PairSums, options: Omit<CommonSoundOptions, 'aroundLag'>): SoundFrame => {
  const bins = sums.first.length
  const minHalf = options.minHalf ?? 1
  const half = new Int32Array(bins)
  const degrees = new Float64Array(bins)
  const binHz = sums.sampleRateHz / sums.fftSize
  for (let k = 0; k < bins; k++) {
    const frames = sums.independent[registerOf(k * binHz)]!
    const wanted = Math.ceil(((options.degrees / frames) * BINS_PER_VALUE - 1) / 2)
    // Not beyond either end: the mean would be one of fewer bins than it counts.
    const room = Math.max(1, Math.min(k >> 1, bins - 1 - k))
    half[k] = Math.min(Math.max(minHalf, wanted), options.maxHalf, room)
    degrees[k] = Math.max(1.0001, (frames * (2 * half[k]! + 1)) / BINS_PER_VALUE)
  }
  const first = runningMean(sums.first, half)
  const second = runningMean(sums.second, half)
  const floorFirst = DYNAMIC_RANGE * largest(first)
  const floorSecond = DYNAMIC_RANGE * largest(second)
  const level = new Float64Array(bins)
  const product = new Float64Array(bins)
  const lowest = Math.max(2, Math.ceil(LOWEST_HZ / binHz))
  for (let k = 0; k < bins; k++) {
    level[k] = Math.sqrt(first[k]! * second[k]!)
    if (k >= lowest && first[k]! > floorFirst && second[k]! > floorSecond) product[k] = first[k]! * second[k]!
  }
  return { sums, half, degrees, level, product, selective: minHalf > 1 }
}

/**
 * Coherence from spectra smoothed over frequency. Estimated coherence of unrelated tracks is 1/K on average for K independent
 * values (Carter 1987): that is taken off, `(g - 1/K) / (1 - 1/K)`, not under 0.
 */
export const commonSoundIn = (frame: SoundFrame, aroundLag: number): CommonSound => {
  const { sums, half, degrees, level, product, selective } = frame
  const cross = turnedBy(sums.cross, aroundLag, sums.fftSize)
  const smooth = runningMean(cross, half, 2)
  const gammaSquared = new Float64Array(level.length)
  for (let k = 0; k < level.length; k++) {
    if (!(product[k]! > 0)) continue
    const re = smooth[2 * k]!
    const im = smooth[2 * k + 1]!
    const chance = 1 / degrees[k]!
    gammaSquared[k] = Math.min(1, Math.max(0, ((re * re + im * im) / product[k]! - chance) / (1 - chance)))
  }
  return { cross, smooth, level, gammaSquared, degrees, half, aroundLag, selective }
}

/** Both in one. */
export const commonSound = (sums: PairSums, options: CommonSoundOptions): CommonSound =>
  commonSoundIn(soundFrame(sums, options), options.aroundLag)

const largest = (values: Float64Array): number => {
  let most = 0
  for (const value of values) if (value > most) most = value
  return most
}
