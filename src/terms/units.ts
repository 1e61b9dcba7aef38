import * as portable from './portable.js'
/** Gain as an amplitude factor for a level in dB. `portable.exp`, not `pow`: the latter differs between engine versions. */
export const gainFromDb = (db: number): number => portable.exp(db * (Math.LN10 / 20))

/** Level in dB of an amplitude; -Infinity for 0. */
export const dbFromGain = (gain: number): number => 20 * portable.log10(Math.abs(gain))

/** Level in dB of a power; -Infinity for 0. */
export const dbFromPower = (power: number): number => 10 * portable.log10(power)

/**
 * Speed of sound in dry air, m/s; temperature in degrees Celsius. c = 331.3 * sqrt(1 + T / 273.15), the textbook form;
 * within 0.015 m/s of ISO 9613-1 from 0 to 35 C. Humidity adds up to 0.2 % at 20 C.
 */
export const speedOfSound = (temperatureCelsius: number): number =>
  331.3 * Math.sqrt(1 + temperatureCelsius / 273.15)

/** Milliseconds that so many frames last. Keeps the sign. */
export const msFromSamples = (samples: number, sampleRateHz: number): number =>
  (samples * 1000) / sampleRateHz

/** Length of air that sound crosses in so many frames, in metres. Keeps the sign of the lag. */
export const metresFromSamples = (
  samples: number,
  sampleRateHz: number,
  temperatureCelsius: number,
): number => (samples / sampleRateHz) * speedOfSound(temperatureCelsius)
