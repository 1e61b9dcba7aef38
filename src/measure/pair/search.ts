import { RealFft } from '../../signal/fft.js'
import { hannOverlap } from '../spectra/frame-grid.js'
import { type CommonSound, commonSoundIn, type SoundFrame, soundFrame } from './common-sound.js'
import { LagObjective } from './lag-objective.js'
import type { PairSums } from './pair-sums.js'

/** A lag with a sign at which the common sound lines up better than a little to either side. */
export interface Peak {
  /** Frames, against the sums' own zero. */
  readonly lagSamples: number
  readonly sign: 1 | -1
  /** How much common sound lines up there: sum over bins of |γ| cos(phase left), corrected for what the window misses. */
  readonly mass: number
  /** `mass` over the whole of the common sound seen at that lag, 0 … 1. */
  readonly score: number
}

export interface SearchResult {
  /** Largest mass first. */
  readonly peaks: readonly Peak[]
  /** Mass at every half frame from `-range` to `range`, signed: for rivals and pictures. */
  readonly curve: Float64Array
  readonly rangeSamples: number
}

/** Lags are searched in zones this wide (in parts of the transform): inside one, smoothing over 9 bins loses under 4 %. */
const ZONES_PER_WINDOW = 64
const MAX_HALF = 8
const DEGREES = 64
const KEPT = 24

/**
 * Searches every lag of `-range … range` frames and both signs. The coherence is taken afresh in every zone of lags, with the
 * phases straightened for the middle of the zone, so that a lag far off is weighed as fairly as one near zero.
 */
export const searchLags = (sums: PairSums, rangeSamples: number): SearchResult => {
  const zone = sums.fftSize / ZONES_PER_WINDOW
  const zones = Math.max(0, Math.ceil((rangeSamples - zone / 2) / zone))
  const fft = new RealFft(2 * sums.fftSize)
  const spectrum = new Float64Array(2 * sums.fftSize + 2)
  const lagDomain = new Float64Array(2 * sums.fftSize)
  const length = 4 * Math.floor(rangeSamples) + 1
  const middle = (length - 1) / 2
  const curve = new Float64Array(length)
  const whole = new Float64Array(length)
  const frame = searchFrame(sums)
  for (let z = -zones; z <= zones; z++) {
    const centre = z * zone
    const sound = commonSoundIn(frame, centre)
    const weighted = scot(sound)
    let total = 0
    for (let k = 0; k < sound.gammaSquared.length; k++) total += Math.sqrt(sound.gammaSquared[k]!)
    spectrum.fill(0)
    spectrum.set(weighted)
    spectrum[0] = 0
    fft.inverse(spectrum, lagDomain)
    for (let step = -zone; step < zone; step++) {
      const at = middle + 2 * centre + step
      if (at < 0 || at >= length) continue
      const lag = centre + step / 2
      const seen = Math.max(0.2, hannOverlap(lag / sums.windowLength))
      const index = step < 0 ? step + lagDomain.length : step
      curve[at] = (lagDomain[index]! * sums.fftSize) / seen
      whole[at] = total
    }
  }
  return { peaks: peaksOf(curve, whole, middle), curve, rangeSamples: Math.floor(rangeSamples) }
}

/** `|γ|`-weighted, whitened cross-spectrum: the smoothed level is divided out, and incoherent bins fade away. */
export const scot = (sound: CommonSound): Float64Array => {
  const out = new Float64Array(sound.cross.length)
  for (let k = 0; k < sound.level.length; k++) {
    const gammaSquared = sound.gammaSquared[k]!
    if (gammaSquared === 0) continue
    const re = sound.smooth[2 * k]!
    const im = sound.smooth[2 * k + 1]!
    const held = sound.selective === true ? gammaSquared * Math.sqrt(gammaSquared) : 1
    const weight = held * Math.sqrt(gammaSquared / (re * re + im * im))
    out[2 * k] = sound.cross[2 * k]! * weight
    out[2 * k + 1] = sound.cross[2 * k + 1]! * weight
  }
  return out
}

/** Local extremes of a curve in half frames around `middle`, largest first. */
export const peaksOf = (curve: Float64Array, whole: Float64Array, middle: number): Peak[] => {
  const peaks: Peak[] = []
  for (let i = 1; i + 1 < curve.length; i++) {
    const value = curve[i]!
    const size = Math.abs(value)
    if (size === 0 || size < Math.abs(curve[i - 1]!) || size <= Math.abs(curve[i + 1]!)) continue
    if (value * curve[i - 1]! <= 0 && value * curve[i + 1]! <= 0) continue
    peaks.push({
      lagSamples: (i - middle) / 2,
      sign: value > 0 ? 1 : -1,
      mass: size,
      score: whole[i]! > 0 ? size / whole[i]! : 0,
    })
  }
  return peaks.sort((a, b) => b.mass - a.mass).slice(0, KEPT)
}

/** How the search smooths; for `refinePeak`. */
export const searchFrame = (sums: PairSums, minHalf = 1): SoundFrame =>
  soundFrame(sums, { degrees: DEGREES, maxHalf: MAX_HALF, minHalf })

/** The peak on the continuous function, from a half-frame grid position. */
export const refinePeak = (frame: SoundFrame, peak: Peak): Peak => {
  const sound = commonSoundIn(frame, peak.lagSamples)
  const objective = new LagObjective(scot(sound), frame.sums.fftSize)
  const left = objective.top(-0.75, 0.75, peak.sign)
  return { ...peak, lagSamples: peak.lagSamples + left }
}
