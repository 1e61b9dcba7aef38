import { describe, expect, it } from 'vitest'
import { delayDesign, delayTaps, designDelay } from '../../src/signal/fractional-delay.js'
import { noted } from '../evidence.js'

/** Largest |H(f) - e^(-j 2 pi f d)| from 0 to `top` cycles per frame, dB; taps belong to the frames halfLength - i back. */
const worstError = (taps: Float64Array, fraction: number, top: number): number => {
  const half = taps.length / 2
  let largest = 0
  for (let step = 0; step <= 300; step++) {
    const w = (2 * Math.PI * top * step) / 300
    let re = -Math.cos(w * fraction)
    let im = Math.sin(w * fraction)
    taps.forEach((tap, i) => {
      re += tap * Math.cos(w * (half - i))
      im -= tap * Math.sin(w * (half - i))
    })
    largest = Math.max(largest, Math.sqrt(re * re + im * im))
  }
  return 20 * Math.log10(largest)
}

const fractions = [0.01, 0.05, 0.1, 0.2, 0.25, 0.31, 0.4, 0.5, 0.6, 0.75, 0.9, 0.99]

describe('the promise: error under -99 dB to 20 kHz', () => {
  it.each([44100, 48000, 88200, 96000, 176400, 192000])('at %i Hz', rate => {
    expect(delayDesign(rate).bandHz).toBeGreaterThanOrEqual(20000)
    for (const fraction of fractions) {
      const errorDb = worstError(designDelay(fraction, rate).taps, fraction, 20000 / rate)
      expect(errorDb).toBeLessThan(-99)
      noted('shift-error', errorDb)
    }
  })

  it.each([8000, 11025, 16000, 22050, 32000, 44100, 48000, 96000])(
    'and in the whole stated band at %i Hz',
    rate => {
      const { bandHz } = delayDesign(rate)
      expect(bandHz).toBeGreaterThan(0.41 * rate)
      const limit = rate >= 48000 ? -153 : -128.5
      for (const fraction of fractions) {
        expect(worstError(designDelay(fraction, rate).taps, fraction, bandHz / rate)).toBeLessThan(limit)
      }
    },
  )

  it('is level within 0.001 dB in its band', () => {
    let compared = 0
    for (const rate of [44100, 48000]) {
      for (const fraction of fractions) {
        const { taps } = designDelay(fraction, rate)
        for (let step = 0; step <= 100; step++) {
          const w = (2 * Math.PI * step * 200) / rate
          let re = 0
          let im = 0
          taps.forEach((tap, i) => {
            re += tap * Math.cos(w * i)
            im += tap * Math.sin(w * i)
          })
          expect(Math.abs(10 * Math.log10(re * re + im * im))).toBeLessThan(0.001)
          compared++
        }
      }
    }
    expect(compared).toBe(2424)
  })
})

// Kaiser-windowed sinc, window centred on the delay. Values computed apart from this code (double precision), tolerance 0.3 dB.
describe('windowed sinc: known errors', () => {
  it.each([
    [64, 16.751, 0.1, 20, -163.39],
    [64, 16.751, 0.25, 20, -157.08],
    [64, 16.751, 0.5, 20, -153.63],
    [64, 8.371, 0.5, 22, -78.45],
    [32, 8.378, 0.5, 20, -78.31],
    [32, 12.569, 0.5, 18, -115.9],
    [96, 12.563, 0.5, 22, -116.32],
    [128, 16.751, 0.5, 22, -154.09],
    [64, 9.951064, 0.5, 20, -98.12],
  ])('%i taps, beta %f, fraction %f, to %i kHz: %f dB', (length, beta, fraction, kilohertz, expected) => {
    const found = worstError(delayTaps(fraction, length / 2, beta), fraction, kilohertz / 48)
    expect(Math.abs(found - expected)).toBeLessThan(0.3)
  })

  // Shortest even length for -99 dB to 20 kHz and its best beta, same source.
  it.each([
    [44100, 74, 10.799],
    [48000, 42, 10.98],
    [96000, 12, 10.975],
  ])('at %i Hz %i taps do, two fewer do not', (rate, length, beta) => {
    expect(worstError(delayTaps(0.5, length / 2, beta), 0.5, 20000 / rate)).toBeLessThan(-98.9)
    for (let b = beta - 1; b < beta + 1; b += 0.1) {
      expect(worstError(delayTaps(0.5, length / 2 - 1, b), 0.5, 20000 / rate)).toBeGreaterThan(-99)
    }
  })
})
