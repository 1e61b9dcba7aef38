import { RealFft } from '../../signal/fft.js'
import type { Arrival } from './arrival.js'
import { octaveBands } from './octaves.js'
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
/** Nearer than this, or than two cycles, a difference is the path's own delay, not another sound. */
const NEAR_SECONDS = 0.0015

/**
 * Two sounds may be common to two tracks: the instrument, loud in the low and middle octaves, and a faint but broad one
 * (a click, cymbals) that fills all the other bins. The lag belongs to the instrument; where its octaves line up much better
 * elsewhere, the arrival that was found is the other sound's.
 */
export const loudOpinion = (sums: PairSums, arrival: Arrival, low: number, high: number): LoudOpinion => {
  const bands = octaveBands(sums.sampleRateHz, sums.fftSize).filter(b => b.middleHz >= LOWEST_HZ)
  const energy = bands.map(b => commonEnergyOf(sums, b.from, b.to))
  const most = Math.max(0, ...energy)
  const loud = bands.filter((_, i) => most > 0 && energy[i]! >= LOUD * most)
  if (loud.length === 0) return { ratio: 0, excessSamples: 0, fromHz: 0, toHz: 0 }
  const size = 2 * sums.fftSize
  const binHz = sums.sampleRateHz / sums.fftSize
  const centre = arrival.lagSamples
  let worst: LoudOpinion = { ratio: 0, excessSamples: 0, fromHz: 0, toHz: 0 }
  const fft = new RealFft(size)
  for (const band of loud) {
    const curve = new Float64Array(size)
    const spectrum = new Float64Array(size + 2)
    for (let k = band.from; k < band.to; k++) {
      const level = Math.sqrt(sums.first[k]! * sums.second[k]!)
      if (!(level > 0)) continue
      spectrum[2 * k] = sums.cross[2 * k]! / level
      spectrum[2 * k + 1] = sums.cross[2 * k + 1]! / level
    }
    fft.inverse(spectrum, curve)
    const near = Math.max(NEAR_SECONDS * sums.sampleRateHz, (2 * sums.sampleRateHz) / band.middleHz)
    let inside = 0
    let outside = 0
    let where = 0
    for (let i = Math.ceil(2 * low); i <= 2 * high; i++) {
      const value = Math.abs(curve[(i + 2 * size) % size]!)
      if (Math.abs(i / 2 - centre) <= near) inside = Math.max(inside, value)
      else if (value > outside) {
        outside = value
        where = i / 2 - centre
      }
    }
    const ratio = inside > 0 ? outside / inside : 0
    if (ratio > worst.ratio) {
      worst = { ratio, excessSamples: where, fromHz: band.from * binHz, toHz: band.to * binHz }
    }
  }
  return worst
}

const commonEnergyOf = (sums: PairSums, from: number, to: number): number => {
  let energy = 0
  for (let k = from; k < to; k++) energy += Math.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!)
  return energy
}
