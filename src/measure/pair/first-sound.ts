import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import type { Arrival } from './arrival.js'
import type { CommonSound } from './common-sound.js'
import { loudBands, octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'
import { runningMean } from './smooth.js'

/** What comes before the arrival in the response from the first trace to the second. */
export interface EarlierSound {
  /** Largest earlier pulse over the pulse at the arrival, 0 … */
  readonly ratio: number
  /** Its lag minus the arrival, frames, negative. */
  readonly excessSamples: number
  /** Its height over the rms of all that comes before the arrival: chance gives about 4. */
  readonly prominence: number
  /**
   * The same ratio in the loud octaves alone: a direct sound that comes before its own reflection is as much there in them as
   * anywhere, while a bleed that comes earlier lives in the octaves in which the instrument is faint. 1 where none is loud.
   */
  readonly loudRatio: number
}

/** Octaves within 15 dB (power) of the loudest common one. */
const LOUD = 0.03
const LOWEST_HZ = 180
/** A pulse in few octaves is wider: its envelope is looked at within so many half frames. */
const WIDER = 8

/**
 * Looks for sound before the arrival in the impulse response `S12 / S11` over the common band. A path's response is causal:
 * its direct sound comes first, and a loud reflection, a loudspeaker's ringing or an echo comes later. So a pulse of any size
 * before the arrival says that the arrival may be a reflection louder than the direct sound, or that it is the reference that
 * holds a louder reflection. Pulses nearer than `guardSamples` belong to the arrival itself.
 */
export const earlierSound = (
  sums: PairSums,
  arrival: Arrival,
  reachSamples: number,
  guardSamples: number,
): EarlierSound => {
  const size = 2 * sums.fftSize
  const spectrum = quotient(sums, arrival.sound)
  const response = new Float64Array(size)
  const fft = new RealFft(size)
  fft.inverse(spectrum, response)
  const at = (halfFrames: number): number => Math.abs(response[((halfFrames % size) + size) % size]!)
  const middle = Math.round(2 * (arrival.lagSamples - arrival.sound.aroundLag))
  const guard = Math.max(2, Math.round(2 * guardSamples))
  let own = 0
  for (let i = middle - guard; i <= middle + guard; i++) own = Math.max(own, at(i))
  let most = 0
  let where = 0
  let squares = 0
  let count = 0
  for (let i = middle - Math.round(2 * reachSamples); i < middle - guard; i++) {
    const value = at(i)
    squares += value * value
    count++
    if (value > most) {
      most = value
      where = i
    }
  }
  return {
    ratio: own > 0 ? most / own : 0,
    excessSamples: (where - middle) / 2,
    prominence: squares > 0 ? most / Math.sqrt(squares / count) : 0,
    loudRatio: loudRatio(sums, spectrum, fft, middle, where),
  }
}

// `S12 / S11` where sound is common. Bins that share little are held down twice: their quotient is mostly noise.
const quotient = (sums: PairSums, sound: CommonSound): Float64Array => {
  const first = runningMean(sums.first, sound.half)
  const spectrum = new Float64Array(2 * sums.fftSize + 2)
  for (let k = 1; k < sound.level.length; k++) {
    const gammaSquared = sound.gammaSquared[k]!
    const weight = (sound.selective === true ? gammaSquared * gammaSquared : gammaSquared) / first[k]!
    if (!(weight > 0)) continue
    spectrum[2 * k] = sound.cross[2 * k]! * weight
    spectrum[2 * k + 1] = sound.cross[2 * k + 1]! * weight
  }
  return spectrum
}

// Envelope of the response of the loud octaves around one place over that around another.
const loudRatio = (
  sums: PairSums,
  spectrum: Float64Array,
  fft: RealFft,
  own: number,
  earlier: number,
): number => {
  const octaves = loudBands(sums, octaveBands(sums.sampleRateHz, sums.fftSize), LOUD)
  const inPhase = new Float64Array(spectrum.length)
  const quadrature = new Float64Array(spectrum.length)
  for (const { from, to, middleHz } of octaves) {
    if (middleHz < LOWEST_HZ) continue
    for (let k = from; k < to; k++) {
      inPhase[2 * k] = spectrum[2 * k]!
      inPhase[2 * k + 1] = spectrum[2 * k + 1]!
      quadrature[2 * k] = spectrum[2 * k + 1]!
      quadrature[2 * k + 1] = -spectrum[2 * k]!
    }
  }
  const real = new Float64Array(fft.size)
  const imaginary = new Float64Array(fft.size)
  fft.inverse(inPhase, real)
  fft.inverse(quadrature, imaginary)
  const around = (middle: number): number => {
    let most = 0
    for (let i = middle - WIDER; i <= middle + WIDER; i++) {
      const index = ((i % fft.size) + fft.size) % fft.size
      most = Math.max(most, portable.hypot(real[index]!, imaginary[index]!))
    }
    return most
  }
  const height = around(own)
  return height > 0 ? around(earlier) / height : 1
}
