import { RealFft } from '../../signal/fft.js'
import type { Arrival } from './arrival.js'
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
}

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
  const { sound } = arrival
  const size = 2 * sums.fftSize
  const spectrum = new Float64Array(size + 2)
  const first = runningMean(sums.first, sound.half)
  for (let k = 1; k < sound.level.length; k++) {
    // Bins that share little are held down twice: their quotient is mostly noise.
    const gammaSquared = sound.gammaSquared[k]!
    const weight = (sound.selective === true ? gammaSquared * gammaSquared : gammaSquared) / first[k]!
    if (!(weight > 0)) continue
    spectrum[2 * k] = sound.cross[2 * k]! * weight
    spectrum[2 * k + 1] = sound.cross[2 * k + 1]! * weight
  }
  const response = new Float64Array(size)
  new RealFft(size).inverse(spectrum, response)
  const at = (halfFrames: number): number => Math.abs(response[((halfFrames % size) + size) % size]!)
  const middle = Math.round(2 * (arrival.lagSamples - sound.aroundLag))
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
  }
}
