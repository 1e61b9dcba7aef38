import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import type { Arrival } from './arrival.js'
import { loudBands, octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** The loudest octaves' own opinion of the lag, against the arrival that all bins alike voted for. */
export interface LoudOpinion {
  /** Best lag far from the arrival: its height over the best height near the arrival. Under 1: the loud octaves agree. */
  readonly ratio: number
  /** Where that lag is, frames from the arrival. */
  readonly excessSamples: number
  readonly fromHz: number
  readonly toHz: number
}

/** Octaves within 15 dB (power) of the loudest common one. */
const LOUD = 0.03
/** Under this a loudspeaker's own group delay is too large to argue with. */
const LOWEST_HZ = 180
/** The bass has its own band; a box of fourth order at 80 Hz delays it by up to 8 ms. */
const BASS_HZ = [45, 180] as const
const BASS_NEAR_SECONDS = 0.01
/** Nearer than this, or than two cycles, a difference is the path's own delay, not another sound. */
const NEAR_SECONDS = 0.0015

/**
 * Two sounds may be common to two tracks: the instrument, loud in the low and middle octaves, and a faint but broad one
 * (a click, cymbals) that fills all the other bins. The lag belongs to the instrument; where its octaves line up much better
 * elsewhere, the arrival that was found is the other sound's.
 */
export const loudOpinion = (
  sums: PairSums,
  arrival: Arrival,
  low: number,
  high: number,
  share = LOUD,
): LoudOpinion => {
  const bands = loudBands(sums, opinionBands(sums), share)
  const binHz = sums.sampleRateHz / sums.fftSize
  const fft = new RealFft(2 * sums.fftSize)
  let worst: LoudOpinion = { ratio: 0, excessSamples: 0, fromHz: 0, toHz: 0 }
  for (const band of bands) {
    const { ratio, excessSamples } = opinionOf(sums, band, fft, arrival.lagSamples, low, high)
    if (ratio > worst.ratio) {
      worst = { ratio, excessSamples, fromHz: band.from * binHz, toHz: band.to * binHz }
    }
  }
  return worst
}

interface OpinionBand {
  readonly from: number
  readonly to: number
  /** Differences up to here are the path's own, frames. */
  readonly near: number
  /** Only the envelope counts: a box turns the phase down here. */
  readonly envelope: boolean
}

const opinionBands = (sums: PairSums): OpinionBand[] => {
  const bin = (hz: number): number => Math.max(2, Math.round((hz * sums.fftSize) / sums.sampleRateHz))
  const octaves = octaveBands(sums.sampleRateHz, sums.fftSize)
    .filter(b => b.middleHz >= LOWEST_HZ)
    .map(({ from, to, middleHz }) => ({
      from,
      to,
      near: Math.max(NEAR_SECONDS * sums.sampleRateHz, (2 * sums.sampleRateHz) / middleHz),
      envelope: false,
    }))
  const bass = { from: bin(BASS_HZ[0]), to: bin(BASS_HZ[1]), near: BASS_NEAR_SECONDS * sums.sampleRateHz }
  return [{ ...bass, envelope: true }, ...octaves]
}

const opinionOf = (
  sums: PairSums,
  band: OpinionBand,
  fft: RealFft,
  centre: number,
  low: number,
  high: number,
): { ratio: number; excessSamples: number } => {
  const { size } = fft
  const inPhase = new Float64Array(size + 2)
  const quadrature = new Float64Array(size + 2)
  for (let k = band.from; k < band.to; k++) {
    const level = Math.sqrt(sums.first[k]! * sums.second[k]!)
    if (!(level > 0)) continue
    const re = sums.cross[2 * k]! / level
    const im = sums.cross[2 * k + 1]! / level
    inPhase[2 * k] = re
    inPhase[2 * k + 1] = im
    quadrature[2 * k] = im
    quadrature[2 * k + 1] = -re
  }
  const curve = new Float64Array(size)
  fft.inverse(inPhase, curve)
  if (band.envelope) {
    const turned = new Float64Array(size)
    fft.inverse(quadrature, turned)
    for (let n = 0; n < size; n++) curve[n] = portable.hypot(curve[n]!, turned[n]!)
  }
  let inside = 0
  let outside = 0
  let excessSamples = 0
  for (let i = Math.ceil(2 * low); i <= 2 * high; i++) {
    const value = Math.abs(curve[(i + 2 * size) % size]!)
    if (Math.abs(i / 2 - centre) <= band.near) inside = Math.max(inside, value)
    else if (value > outside) {
      outside = value
      excessSamples = i / 2 - centre
    }
  }
  return { ratio: inside > 0 ? outside / inside : 0, excessSamples }
}

/** How well the loud bins of an octave line up at the arrival. */
export interface OctaveAgreement {
  readonly middleHz: number
  /** `sum |S|^(1/2) cos(phase) / sum |S|^(1/2)`: 1 = all in phase; about 0 where they belong to another sound. */
  readonly value: number
}

/** Octaves from 250 Hz on that hold at least so much of the loudest one's common energy (15 dB). */
export const octaveAgreements = (sums: PairSums, lagSamples: number, sign: 1 | -1): OctaveAgreement[] => {
  const bands = octaveBands(sums.sampleRateHz, sums.fftSize).filter(b => b.middleHz >= LOWEST_HZ)
  return loudBands(sums, bands, LOUD).map(band => {
    let inPhase = 0
    let all = 0
    for (let k = band.from; k < band.to; k++) {
      const re = sums.cross[2 * k]!
      const im = sums.cross[2 * k + 1]!
      const size = portable.hypot(re, im)
      if (size === 0) continue
      const angle = (2 * Math.PI * k * lagSamples) / sums.fftSize
      inPhase += (sign * (re * portable.cos(angle) - im * portable.sin(angle))) / Math.sqrt(size)
      all += Math.sqrt(size)
    }
    return { middleHz: band.middleHz, value: all > 0 ? inPhase / all : 0 }
  })
}

/** Mean of the octaves' agreement; 0 with none. */
export const meanAgreement = (octaves: readonly OctaveAgreement[]): number =>
  octaves.length === 0 ? 0 : octaves.reduce((sum, o) => sum + o.value, 0) / octaves.length

/** The lag, either sign, at which the loud octaves agree most: the top of `|meanAgreement|` over the search, half frames. */
export const mostAgreed = (
  sums: PairSums,
  low: number,
  high: number,
): { lagSamples: number; agreement: number } => {
  const bands = octaveBands(sums.sampleRateHz, sums.fftSize).filter(b => b.middleHz >= LOWEST_HZ)
  const loud = loudBands(sums, bands, LOUD)
  const fft = new RealFft(2 * sums.fftSize)
  const spectrum = new Float64Array(fft.size + 2)
  for (const band of loud) {
    let all = 0
    for (let k = band.from; k < band.to; k++) all += rootOf(sums, k)
    for (let k = band.from; k < band.to; k++) {
      const root = rootOf(sums, k)
      if (root === 0) continue
      spectrum[2 * k] = sums.cross[2 * k]! / (root * all * loud.length)
      spectrum[2 * k + 1] = sums.cross[2 * k + 1]! / (root * all * loud.length)
    }
  }
  const curve = new Float64Array(fft.size)
  fft.inverse(spectrum, curve)
  let best = { lagSamples: 0, agreement: 0 }
  for (let i = Math.ceil(2 * low); i <= 2 * high; i++) {
    const agreement = Math.abs(curve[(i + fft.size) % fft.size]! * sums.fftSize)
    if (agreement > best.agreement) best = { lagSamples: i / 2, agreement }
  }
  return best
}

const rootOf = (sums: PairSums, k: number): number =>
  Math.sqrt(portable.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!))
