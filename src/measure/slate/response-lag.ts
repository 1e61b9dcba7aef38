import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import { goldenTop, type OctaveLag } from '../pair/arrival-spread.js'
import { type ResponseSpectrum, responseSpectrum } from './response-spectrum.js'
import { bandWeight, type SlateResponse } from './slate-responses.js'
import { firstWavefront } from './wavefront.js'

/** How one path stands against another by the slate. */
export interface ResponseLag {
  /** Frames by which the source's first wavefront comes after the reference's in their files. */
  readonly lagSamples: number
  readonly uncertaintySamples: number
  readonly sign: 1 | -1
  /** Part of the common band that lines up there, 0 … 1, and the best of the other polarity close by over it. */
  readonly score: number
  readonly rival: number
  /** The source's group delay against the reference's beyond the arrival, octave by octave. */
  readonly octaves: readonly OctaveLag[]
}

/** The direct sound alone: from half a millisecond before the first top to 1.5 ms after, with flanks. */
const FRONT = { rise: 0.0005, before: 0.0005, after: 0.0015, fall: 0.001 }
/** With what the path itself rings on. */
const WHOLE = { rise: 0.0005, before: 0.0005, after: 0.03, fall: 0.02 }
/** Tops of both envelopes may be so far beside what lines up best, seconds. */
const REACH_SECONDS = 0.0005
/** A path's phase strays from a pure delay by about this much whatever the noise, rad². */
const OWN_PHASE = 0.1
const LEAST_QUALITY = 10
const LEAST_UNCERTAINTY = 0.005

/** Null where either response has no first wavefront, or they share no band. */
export const responseLag = (reference: SlateResponse, source: SlateResponse): ResponseLag | null => {
  const a = frontOf(reference)
  const b = frontOf(source)
  if (a === null || b === null) return null
  const found = align(phasesOf(a, b, FRONT))
  if (found === null) return null
  // Each sweep by itself: what they differ by is what cannot be relied on, whatever its cause.
  const halves = [0, 1].map(i => align(phasesOf(onlyOne(a, i), onlyOne(b, i), FRONT))?.lag ?? found.lag)
  const apart = Math.abs(halves[0]! - halves[1]!) / 2
  return {
    lagSamples: source.startFrame + b.at - (reference.startFrame + a.at) + found.lag,
    uncertaintySamples: Math.max(LEAST_UNCERTAINTY, portable.hypot(found.error, apart)),
    sign: found.sign,
    score: found.score,
    rival: found.rival,
    octaves: octavesOf(phasesOf(a, b, WHOLE), found.lag),
  }
}

interface Front {
  readonly response: SlateResponse
  readonly spectra: ResponseSpectrum
  readonly at: number
}

const frontOf = (response: SlateResponse): Front | null => {
  const spectra = responseSpectrum(response)
  const at = firstWavefront(spectra, response.sampleRateHz, response.first.length)
  return at === null ? null : { response, spectra, at }
}

const onlyOne = (front: Front, which: number): Front => {
  const one = which === 0 ? front.response.first : front.response.second
  return { ...front, response: { ...front.response, first: one, second: one } }
}

/** Phases of the source against the reference around their first wavefronts. */
interface Phases {
  readonly sampleRateHz: number
  /** Per used bin: radians per frame, phase, one over the variance of that phase. */
  readonly omega: readonly number[]
  readonly phase: readonly number[]
  readonly quality: readonly number[]
  /** Bins to one independent value. */
  readonly perValue: number
}

const phasesOf = (a: Front, b: Front, shape: typeof FRONT): Phases => {
  const { sampleRateHz } = a.response
  const span = (shape.rise + shape.before + shape.after + shape.fall) * sampleRateHz
  let size = 1024
  while (size < 8 * span) size *= 2
  const first = cutOut(a, shape, size)
  const second = cutOut(b, shape, size)
  const omega: number[] = []
  const phase: number[] = []
  const quality: number[] = []
  for (let k = 1; k < size / 2; k++) {
    const hz = (k * sampleRateHz) / size
    const weight = bandWeight(hz)
    if (weight === 0) continue
    const variance = first.variance(k) + second.variance(k)
    if (!(variance < 1 / LEAST_QUALITY)) continue
    const [x, y, u, v] = [
      first.spectrum[2 * k]!,
      first.spectrum[2 * k + 1]!,
      second.spectrum[2 * k]!,
      second.spectrum[2 * k + 1]!,
    ]
    omega.push((2 * Math.PI * k) / size)
    phase.push(portable.atan2(x * v - y * u, x * u + y * v))
    quality.push(weight / (variance + 1e-9))
  }
  return { sampleRateHz, omega, phase, quality, perValue: size / Math.min(first.energy, second.energy) }
}

const cutOut = (front: Front, shape: typeof FRONT, size: number) => {
  const { response, spectra, at } = front
  const rate = response.sampleRateHz
  const padded = new Float64Array(size)
  let energy = 0
  const from = -Math.ceil((shape.rise + shape.before) * rate)
  const to = Math.ceil((shape.after + shape.fall) * rate)
  for (let i = from; i <= to; i++) {
    const value = 0.5 * ((response.first[at + i] ?? 0) + (response.second[at + i] ?? 0))
    const seconds = i / rate
    const rise = (seconds + shape.before + shape.rise) / shape.rise
    const fall = (shape.after + shape.fall - seconds) / shape.fall
    const x = Math.max(0, Math.min(1, rise, fall))
    const window = 0.5 - 0.5 * portable.cos(Math.PI * x)
    energy += window * window
    padded[((i % size) + size) % size] = window * value
  }
  const spectrum = new Float64Array(size + 2)
  new RealFft(size).forward(padded, spectrum)
  // Noise of the whole response, as much of it as falls into the window.
  const share = energy / response.first.length
  const variance = (k: number): number => {
    const noise = spectra.noise[Math.round((k * spectra.fftSize) / size)]! * share
    const power = spectrum[2 * k]! * spectrum[2 * k]! + spectrum[2 * k + 1]! * spectrum[2 * k + 1]!
    return power > 0 ? noise / (2 * power) : Number.POSITIVE_INFINITY
  }
  return { spectrum, energy, variance }
}

const align = (phases: Phases) => {
  const { omega, phase, quality, perValue, sampleRateHz } = phases
  if (omega.length < 8) return null
  const weights = quality.map(q => q / (1 + q * OWN_PHASE))
  const total = weights.reduce((sum, w) => sum + w, 0)
  const sum = (lag: number): number => {
    let value = 0
    for (let i = 0; i < omega.length; i++) value += weights[i]! * portable.cos(phase[i]! + omega[i]! * lag)
    return value
  }
  const reach = REACH_SECONDS * sampleRateHz
  const top = (sign: 1 | -1): { readonly lag: number; readonly value: number } => {
    const step = 0.25
    let best = 0
    let most = Number.NEGATIVE_INFINITY
    for (let lag = -reach; lag <= reach; lag += step) {
      const value = sign * sum(lag)
      if (value > most) {
        most = value
        best = lag
      }
    }
    const lag = goldenTop(x => sign * sum(x), best - step, best + step, 1e-5)
    return { lag, value: sign * sum(lag) }
  }
  const normal = top(1)
  const inverted = top(-1)
  const sign: 1 | -1 = normal.value >= inverted.value ? 1 : -1
  const [best, other] = sign === 1 ? [normal, inverted] : [inverted, normal]
  let slope = 0
  let spread = 0
  for (let i = 0; i < omega.length; i++) {
    slope += weights[i]! * omega[i]! * omega[i]!
    spread += (weights[i]! * weights[i]! * omega[i]! * omega[i]!) / quality[i]!
  }
  return {
    lag: best.lag,
    sign,
    score: best.value / total,
    rival: Math.max(0, other.value) / best.value,
    error: Math.sqrt(perValue * spread) / slope,
  }
}

/** Middles of octaves, Hz. */
const OCTAVES_HZ = [63, 125, 250, 500, 1000, 2000, 4000, 8000]

const octavesOf = (phases: Phases, arrival: number): OctaveLag[] => {
  const { omega, phase, quality, sampleRateHz } = phases
  return OCTAVES_HZ.flatMap((middleHz): OctaveLag[] => {
    const middle = (2 * Math.PI * middleHz) / sampleRateHz
    const [low, high] = [middle / Math.SQRT2, middle * Math.SQRT2]
    const used = omega.flatMap((w, i) => (w >= low && w < high ? [i] : []))
    const binsInside = ((high - low) / (omega[1]! - omega[0]!)) * 0.75
    if (used.length < Math.max(6, binsInside)) return []
    const size = (lag: number): number => {
      let re = 0
      let im = 0
      for (const i of used) {
        const weight = quality[i]! / (1 + quality[i]! * OWN_PHASE)
        re += weight * portable.cos(phase[i]! + omega[i]! * lag)
        im += weight * portable.sin(phase[i]! + omega[i]! * lag)
      }
      return re * re + im * im
    }
    // One cycle of the octave's width to either side.
    const reach = (2 * Math.PI) / (high - low)
    let best = arrival
    for (let i = -32; i <= 32; i++) {
      const lag = arrival + (reach * i) / 16
      if (size(lag) > size(best)) best = lag
    }
    const lag = goldenTop(size, best - reach / 16, best + reach / 16, 1e-3)
    return [{ middleHz, excessSamples: lag - arrival, weight: used.length }]
  })
}
