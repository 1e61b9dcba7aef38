import { describe, expect, it } from 'vitest'
import { roundToGrid, TpdfQuantiser } from '../../src/signal/dither.js'
import { noted } from '../evidence.js'

const FRAMES = 480_000
const STEP = 1 / 32768

/** Constant of so many steps, quantised to 16 bits with dither; what comes out, in steps. */
const constant = (steps: number): Float64Array => {
  const block = [new Float64Array(FRAMES).fill(steps * STEP)]
  new TpdfQuantiser(16, 1, `constant ${steps}`).quantise(block)
  return block[0]!.map(value => value / STEP)
}

/** Amplitude in steps of a frequency that has whole periods in ten seconds at 48 kHz. */
const amplitude = (samples: Float64Array, frequencyHz: number): number => {
  let re = 0
  let im = 0
  samples.forEach((value, n) => {
    const angle = (2 * Math.PI * ((frequencyHz * n) % 48000)) / 48000
    re += value * Math.cos(angle)
    im += value * Math.sin(angle)
  })
  return (2 * Math.sqrt(re * re + im * im)) / samples.length / STEP
}

const tone = (steps: number, frequencyHz: number): Float64Array =>
  Float64Array.from(
    { length: FRAMES },
    (_, n) => steps * STEP * Math.sin((2 * Math.PI * ((frequencyHz * n) % 48000)) / 48000),
  )

// Wannamaker, Lipshitz, Vanderkooy & Wright, A Theory of Nonsubtractive Dither, IEEE Trans. Signal Processing 48 (2000): with
// triangular dither mean and mean square of the total error do not depend on the signal. Tolerances: 5 sigma, computed.
describe('triangular dither of ±1 step', () => {
  it.each([0, 0.1, 0.25, 0.5, 0.75, 0.9])(
    'a constant of %f steps: error 0 in the mean, a quarter step squared',
    steps => {
      let sum = 0
      let squares = 0
      for (const value of constant(steps)) {
        const error = value - steps
        sum += error
        squares += error * error
      }
      expect(Math.abs(sum / FRAMES)).toBeLessThan(0.0036)
      expect(Math.abs(squares / FRAMES - 0.25)).toBeLessThan(0.0032)
    },
  )

  // Computed from the triangle's areas.
  it.each([
    [0, [0.125, 0.75, 0.125]],
    [0.25, [0.03125, 0.6875, 0.28125]],
  ] as const)('a constant of %f steps comes out as -1, 0, +1 with the known chances', (steps, chances) => {
    const counts = [0, 0, 0]
    for (const value of constant(steps)) counts[value + 1] = counts[value + 1]! + 1
    expect(counts.reduce((a, b) => a + b)).toBe(FRAMES)
    chances.forEach((chance, index) => {
      const sigma = Math.sqrt((chance * (1 - chance)) / FRAMES)
      expect(Math.abs(counts[index]! / FRAMES - chance)).toBeLessThan(5 * sigma)
    })
  })

  it('keeps a sine of 0.4 steps, which plain rounding swallows', () => {
    const dithered = [tone(0.4, 1000)]
    new TpdfQuantiser(16, 1, 'small').quantise(dithered)
    expect(Math.abs(amplitude(dithered[0]!, 1000) - 0.4)).toBeLessThan(0.005)
    const rounded = [tone(0.4, 1000)]
    roundToGrid(rounded, 16)
    expect(amplitude(rounded[0]!, 1000)).toBe(0)
  })

  it('makes no third harmonic of 1.2 steps; plain rounding makes 0.118', () => {
    // 997 Hz, so that no harmonic folds onto another. Rounded, the sine is 1 from asin(0.5 / 1.2) on: 4 / (3 pi) cos(3 asin(0.5 / 1.2)).
    const dithered = [tone(1.2, 997)]
    new TpdfQuantiser(16, 1, 'third').quantise(dithered)
    expect(amplitude(dithered[0]!, 3 * 997)).toBeLessThan(0.005)
    const rounded = [tone(1.2, 997)]
    roundToGrid(rounded, 16)
    const expected = (4 / (3 * Math.PI)) * Math.cos(3 * Math.asin(0.5 / 1.2))
    expect(expected).toBeCloseTo(0.1179, 4)
    expect(Math.abs(amplitude(rounded[0]!, 3 * 997) - expected)).toBeLessThan(0.002)
  })

  // q^2/4 with q = 2^-15 and 2^-23, re a square of full scale (computed).
  it.each([
    [16, -96.3296],
    [24, -144.4944],
  ])('noise of silence at %i bits is %f dBFS', (bits, expected) => {
    const block = [new Float64Array(FRAMES)]
    new TpdfQuantiser(bits, 1, 'floor').quantise(block)
    const power = block[0]!.reduce((sum, value) => sum + value * value, 0) / FRAMES
    expect(Math.abs(10 * Math.log10(power) - expected)).toBeLessThan(0.06)
    noted('dither-noise', 10 * Math.log10(power) - expected)
  })
})
