import * as portable from '../../terms/portable.js'
import { speedOfSound } from '../../terms/units.js'
import type { CommonSound } from '../pair/common-sound.js'

const LOWEST_HZ = 50
/** Third octaves that share less than this against the strongest change nothing that is heard: a hundredth of the energy. */
const MEANINGFUL = 0.01
/** At a phase of so many degrees two equal parts lose 1 dB: 2 acos(10^(-1/20)). */
const DEGREES_AT_1_DB = 53.938

/** What the advice needs of two tracks' common sound. */
export type SharedSound = Pick<CommonSound, 'cross' | 'level' | 'gammaSquared'>

/** Sound that two tracks share, per bin: size of their cross-spectrum times the coherence. */
export const sharedEnergy = ({ level, gammaSquared }: SharedSound): Float64Array =>
  level.map((size, k) => size * gammaSquared[k]!)

/**
 * Upper edge of the highest third octave that holds at least a hundredth of what the strongest one holds; null where nothing
 * is shared above 50 Hz.
 */
export const highestShared = (sound: SharedSound, sampleRateHz: number): number | null => {
  const energy = sharedEnergy(sound)
  const binHz = sampleRateHz / (2 * (energy.length - 1))
  const third = portable.exp(Math.LN2 / 3)
  const bands: { readonly topHz: number; readonly energy: number }[] = []
  for (let low = LOWEST_HZ; low * third <= sampleRateHz / 2; low *= third) {
    let sum = 0
    const end = Math.ceil((low * third) / binHz)
    for (let k = Math.ceil(low / binHz); k < end; k++) sum += energy[k]!
    bands.push({ topHz: low * third, energy: sum })
  }
  const most = Math.max(0, ...bands.map(band => band.energy))
  if (most === 0) return null
  return bands.findLast(band => band.energy >= MEANINGFUL * most)?.topHz ?? null
}

/**
 * How far a path may be from the length for which it was lined up before a blend of two equal parts has lost 1 dB at this
 * frequency, metres.
 */
export const toleranceMetres = (frequencyHz: number, speedOfSoundMetres: number): number =>
  ((DEGREES_AT_1_DB / 360) * speedOfSoundMetres) / frequencyHz

/** A room that is warmer or colder than that is another session. */
const MOST_CELSIUS = 15

/**
 * By how many degrees the room may be off before a path of `lateMetres` more air than the other has moved by `toleranceMetres`;
 * null over 15 degrees. Sound is faster in warm air: 0.17 % a degree at 20 °C.
 */
export const toleranceCelsius = (
  tolerance: number,
  lateMetres: number,
  temperatureCelsius: number,
): number | null => {
  const perDegree = speedOfSound(temperatureCelsius + 1) / speedOfSound(temperatureCelsius) - 1
  const degrees = tolerance / (Math.abs(lateMetres) * perDegree)
  return degrees <= MOST_CELSIUS ? degrees : null
}
