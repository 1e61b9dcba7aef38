import * as portable from '../../terms/portable.js'
import { hannOverlap } from '../spectra/frame-grid.js'
import type { Arrival } from './arrival.js'
import { type BandEnergies, bandEnergies, type OctaveBand, octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** Whether the octaves that hold the energy begin and end their notes where the arrival puts them. */
export interface LoudSupport {
  /**
   * Energy of an octave's correlation around the arrival over the most that it has around any lag of the search: mean over the
   * loud octaves by their common energy, 0 … 1. A held tone is nearly 1 everywhere.
   */
  readonly share: number
  /** Gain from the first trace to the second where the arrival's votes lie, over the gain where the energy lies, dB. */
  readonly tiltDb: number
  /** Mean of the same energy over all lags of the search, over the most: 1 = held tones, which begin and end nowhere. */
  readonly heldShare: number
  /**
   * How far the partials of the loud octaves from 180 Hz on are in phase at the arrival: mean of `sum S cos(phase) / sum |S|` by common energy,
   * -1 … 1. Octaves below count as 0: there a box turns the phase.
   */
  readonly inPhase: number
}

/** Octaves within 12 dB of the loudest common one in either trace count. */
const LOUD = 10 ** -1.2
/** Spectra are compared with themselves up to so many bins away: the energy within about 5 ms of a lag at 0.17 s. */
const BINS = 16
/** What a loudspeaker's own group delay may shift the envelope of the low octaves by, seconds; above: two cycles or 1.5 ms. */
const BASS_SECONDS = 0.01
const BASS_HZ = 180
const NEAR_SECONDS = 0.0015
const STEP_SECONDS = 0.00025
const LEAST_OVERLAP = 0.2

type Octave = OctaveBand & BandEnergies

/**
 * Around a lag t an octave's correlation has the energy `sum_k |sum_m S(k+m) e^(j w m t)|²` over groups of neighbouring bins: it
 * depends on the slope of the phase alone, not on the phase itself, and so neither on polarity nor on what a box turns. It is a
 * short Fourier series in t whose terms are the spectrum's products with itself, m bins apart.
 */
export const loudSupport = (
  sums: PairSums,
  arrival: Arrival,
  sign: 1 | -1,
  low: number,
  high: number,
): LoudSupport => {
  const octaves = energiesOf(sums)
  const shared = octaves.map(o => o.common / Math.sqrt(o.first * o.second))
  const loudest = (part: 'first' | 'second'): number =>
    Math.max(...octaves.map((o, i) => o[part] * shared[i]!))
  const [most1, most2] = [loudest('first'), loudest('second')]
  let share = 0
  let held = 0
  let inPhase = 0
  let energy = 0
  let gain = 0
  octaves.forEach((octave, i) => {
    const louder = Math.max((octave.first * shared[i]!) / most1, (octave.second * shared[i]!) / most2)
    if (!(louder > LOUD)) return
    const weight = Math.sqrt((octave.first / most1) * (octave.second / most2)) * shared[i]!
    const support = supportOf(sums, octave, arrival.lagSamples, low, high)
    share += weight * support.share
    held += weight * support.held
    if (octave.middleHz >= BASS_HZ) inPhase += weight * sign * phaseOf(sums, octave, arrival.lagSamples)
    gain += weight * 10 * portable.log10(octave.second / octave.first)
    energy += weight
  })
  if (energy === 0) return { share: 0, tiltDb: 0, heldShare: 0, inPhase: 0 }
  return {
    share: share / energy,
    tiltDb: votedGainDb(arrival, octaves) - gain / energy,
    heldShare: held / energy,
    inPhase: inPhase / energy,
  }
}

const energiesOf = (sums: PairSums): Octave[] =>
  octaveBands(sums.sampleRateHz, sums.fftSize)
    .map(band => ({ ...band, ...bandEnergies(sums, band) }))
    .filter(({ first, second }) => first > 0 && second > 0)

// Mean gain of the octaves, each by the votes (|γ|) that it gave to the arrival.
const votedGainDb = ({ sound }: Arrival, octaves: readonly Octave[]): number => {
  let votes = 0
  let gain = 0
  for (const { from, to, first, second } of octaves) {
    let own = 0
    for (let k = from; k < to; k++) own += Math.sqrt(sound.gammaSquared[k]!)
    votes += own
    gain += own * 10 * portable.log10(second / first)
  }
  return votes > 0 ? gain / votes : 0
}

// Part of an octave's common energy that is in phase at a lag.
const phaseOf = ({ cross, fftSize }: PairSums, { from, to, common }: Octave, lag: number): number => {
  let sum = 0
  for (let k = from; k < to; k++) {
    const angle = (2 * Math.PI * k * lag) / fftSize
    sum += cross[2 * k]! * portable.cos(angle) - cross[2 * k + 1]! * portable.sin(angle)
  }
  return common > 0 ? sum / common : 0
}

const supportOf = (
  sums: PairSums,
  octave: Octave,
  centre: number,
  low: number,
  high: number,
): { share: number; held: number } => {
  const { cross, fftSize, sampleRateHz, windowLength } = sums
  const re = new Float64Array(BINS + 1)
  const im = new Float64Array(BINS + 1)
  for (let m = 0; m <= BINS; m++) {
    let a = 0
    let b = 0
    for (let k = octave.from; k + m < octave.to; k++) {
      const [c, d] = [cross[2 * k]!, cross[2 * k + 1]!]
      const [e, f] = [cross[2 * (k + m)]!, cross[2 * (k + m) + 1]!]
      a += c * e + d * f
      b += c * f - d * e
    }
    const weight = (m === 0 ? 1 : 2) * (1 - m / (BINS + 1))
    re[m] = weight * a
    im[m] = weight * b
  }
  const energyAt = (lag: number): number => {
    let sum = 0
    for (let m = 0; m <= BINS; m++) {
      const angle = (2 * Math.PI * m * lag) / fftSize
      sum += re[m]! * portable.cos(angle) - im[m]! * portable.sin(angle)
    }
    return Math.sqrt(Math.max(0, sum)) / Math.max(LEAST_OVERLAP, hannOverlap(lag / windowLength))
  }
  const near =
    octave.middleHz < BASS_HZ
      ? BASS_SECONDS * sampleRateHz
      : Math.max(NEAR_SECONDS * sampleRateHz, (2 * sampleRateHz) / octave.middleHz)
  let most = 0
  let sum = 0
  let count = 0
  let here = energyAt(centre)
  for (let lag = low; lag <= high; lag += STEP_SECONDS * sampleRateHz) {
    const energy = energyAt(lag)
    sum += energy
    count++
    if (energy > most) most = energy
    if (Math.abs(lag - centre) <= near && energy > here) here = energy
  }
  return most > 0 ? { share: here / Math.max(most, here), held: sum / count / most } : { share: 0, held: 0 }
}
