import { turns } from '../../signal/turns.js'
import type { Arrival } from './arrival.js'
import { octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** One octave's own lag against the broadband arrival. */
export interface OctaveLag {
  readonly middleHz: number
  /** Group delay of the octave minus the arrival, frames. */
  readonly excessSamples: number
  /** Common sound in the octave: sum of |γ| over its bins. */
  readonly weight: number
}

const LEAST_COMMON = 0.25

/**
 * Group delay per octave beside the arrival: where the envelope `|sum w S e^(j w lag)|` of the octave is largest within one
 * cycle of its bandwidth. Octaves with a mean |γ| under 0.25 say nothing.
 */
export const octaveLags = (sums: PairSums, arrival: Arrival): OctaveLag[] => {
  const { sound } = arrival
  const left = arrival.lagSamples - sound.aroundLag
  const lags: OctaveLag[] = []
  for (const band of octaveBands(sums.sampleRateHz, sums.fftSize)) {
    let weight = 0
    for (let k = band.from; k < band.to; k++) weight += Math.sqrt(sound.gammaSquared[k]!)
    const width = band.to - band.from
    if (weight < LEAST_COMMON * width || width < 6) continue
    const reach = sums.fftSize / (band.to - band.from)
    const envelope = envelopeOf(arrival, band.from, band.to, sums.fftSize)
    const size = (lag: number): number => envelope(left + lag)
    lags.push({ middleHz: band.middleHz, excessSamples: highest(size, -reach, reach), weight })
  }
  return lags
}

/**
 * How much the octaves' lags differ: mean distance from the arrival, every octave counted by the width of the band that it
 * shares, so that the treble, which makes the wavefront, is not drowned by the lowest octaves. 0 with none.
 */
export const arrivalSpread = (lags: readonly OctaveLag[]): number => {
  const weight = lags.reduce((sum, l) => sum + l.weight, 0)
  if (weight === 0) return 0
  return lags.reduce((sum, l) => sum + l.weight * Math.abs(l.excessSamples), 0) / weight
}

const envelopeOf = (
  arrival: Arrival,
  from: number,
  to: number,
  fftSize: number,
): ((lag: number) => number) => {
  const { smooth, level, gammaSquared } = arrival.sound
  const bins: number[] = []
  for (let k = from; k < to; k++) if (gammaSquared[k] !== 0) bins.push(k)
  const angles = new Float64Array(bins.length)
  const cosines = new Float64Array(bins.length)
  const sines = new Float64Array(bins.length)
  return lag => {
    for (let i = 0; i < bins.length; i++) angles[i] = (2 * Math.PI * bins[i]! * lag) / fftSize
    turns(angles, cosines, sines)
    let re = 0
    let im = 0
    for (let i = 0; i < bins.length; i++) {
      const k = bins[i]!
      const c = cosines[i]!
      const s = sines[i]!
      re += (smooth[2 * k]! * c - smooth[2 * k + 1]! * s) / level[k]!
      im += (smooth[2 * k]! * s + smooth[2 * k + 1]! * c) / level[k]!
    }
    return re * re + im * im
  }
}

// Best of 17 places, then golden section around it.
const highest = (size: (lag: number) => number, low: number, high: number): number => {
  const steps = 16
  let best = low
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i <= steps; i++) {
    const lag = low + ((high - low) * i) / steps
    const value = size(lag)
    if (value > most) {
      most = value
      best = lag
    }
  }
  return goldenTop(size, best - (high - low) / steps, best + (high - low) / steps, 1e-3)
}

/** Largest value of a function with one top in `[low, high]`, by golden section, to `tolerance`. */
export const goldenTop = (f: (x: number) => number, low: number, high: number, tolerance: number): number => {
  const ratio = (Math.sqrt(5) - 1) / 2
  let a = low
  let b = high
  let c = b - ratio * (b - a)
  let d = a + ratio * (b - a)
  let fc = f(c)
  let fd = f(d)
  while (b - a > tolerance) {
    if (fc > fd) {
      b = d
      d = c
      fd = fc
      c = b - ratio * (b - a)
      fc = f(c)
    } else {
      a = c
      c = d
      fc = fd
      d = a + ratio * (b - a)
      fd = f(d)
    }
  }
  return (a + b) / 2
}
