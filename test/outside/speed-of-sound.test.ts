import { expect, test } from 'vitest'
import { metresFromSamples, speedOfSound } from '../../src/terms/units.js'
import { noted } from '../evidence.js'

/*
 * Dry air: c = 331.3 sqrt(1 + T / 273.15) m/s, the textbook form. Beside it what ISO 9613-1 has, 343.2 sqrt((273.15 + T) / 293.15) (from
 * memory). Metres a second and frames a metre at 48 kHz were computed from the textbook form by another program.
 */
test.each([
  [0, 331.3, 144.8838],
  [10, 337.3099, 142.3024],
  [20, 343.2146, 139.8542],
  [21, 343.7995, 139.6163],
  [25, 346.1292, 138.6765],
  [35, 351.8859, 136.4078],
])('%d °C', (celsius, metresPerSecond, framesPerMetre) => {
  expect(speedOfSound(celsius)).toBeCloseTo(metresPerSecond, 4)
  expect(metresFromSamples(framesPerMetre, 48000, celsius)).toBeCloseTo(1, 6)
  expect(metresFromSamples(-framesPerMetre, 48000, celsius)).toBeCloseTo(-1, 6)
  const standard = 343.2 * Math.sqrt((273.15 + celsius) / 293.15)
  expect(Math.abs(speedOfSound(celsius) - standard)).toBeLessThan(0.0151)
  noted('speed-of-sound', speedOfSound(celsius) - standard)
})
