import { describe, expect, test } from 'vitest'
import { refineArrival } from '../../../src/measure/pair/arrival.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'
import { gaussian } from '../../corpus/random.js'

/*
 * Two traces that share sound up to 1 kHz, 20 dB over their noises, and nothing above: 40 frames of noise, exact phases. The bins in which
 * nothing is shared must not vote: in the treble a phase moves most with the lag.
 */
const RATE = 8000
const SIZE = 2048
const BINS = SIZE / 2 + 1
const FRAMES = 40
const LAG = 12.3
const SHARED_HZ = 1000

const sumsOf = (seed: string, sign: 1 | -1): PairSums => {
  const next = gaussian(seed)
  const sums = {
    ...{ sampleRateHz: RATE, fftSize: SIZE, windowLength: SIZE, independent: [FRAMES, FRAMES, FRAMES] },
    first: new Float64Array(BINS),
    second: new Float64Array(BINS),
    cross: new Float64Array(2 * BINS),
    seconds: (FRAMES * SIZE) / RATE,
  }
  for (let k = 1; k < BINS - 1; k++) {
    const isShared = (k * RATE) / SIZE < SHARED_HZ
    const angle = (-2 * Math.PI * k * LAG) / SIZE
    for (let frame = 0; frame < FRAMES; frame++) {
      const [x, y, a, b, c, d] = [next(), next(), next(), next(), next(), next()]
      const [re, im] = isShared ? [x + 0.1 * a, y + 0.1 * b] : [a, b]
      const [u, v] = isShared
        ? [
            sign * (x * Math.cos(angle) - y * Math.sin(angle)) + 0.1 * c,
            sign * (x * Math.sin(angle) + y * Math.cos(angle)) + 0.1 * d,
          ]
        : [c, d]
      sums.first[k] = sums.first[k]! + re * re + im * im
      sums.second[k] = sums.second[k]! + u * u + v * v
      sums.cross[2 * k] = sums.cross[2 * k]! + re * u + im * v
      sums.cross[2 * k + 1] = sums.cross[2 * k + 1]! + re * v - im * u
    }
  }
  return sums
}

describe('bins in which nothing is shared', () => {
  const found = Array.from({ length: 12 }, (_, i) => {
    const sign = i % 2 === 0 ? 1 : -1
    return refineArrival(sumsOf(`chance ${i}`, sign), LAG + 0.4, sign)
  })

  test('have next to no say in the lag, those that share have all of it', () => {
    const top = Math.floor((SHARED_HZ * SIZE) / RATE)
    for (const { weights } of found) {
      // What a bin's phase weighs in the lag: frequency squared times its weight.
      const say = (from: number, to: number): number =>
        weights.subarray(from, to).reduce((sum, weight, i) => sum + (from + i) ** 2 * weight, 0)
      expect(weights.subarray(10, top - 4).every(weight => weight > 0)).toBe(true)
      // Bins beside the edge are smoothed over it.
      expect(say(top + 8, BINS) / say(1, top)).toBeLessThan(1e-3)
    }
  })

  test('so that the lag is as good as the shared band lets it be', () => {
    // Cramér–Rao for γ² = 1 / 1.01² over 1 kHz.
    const quality = 1 / (1.01 ** 2 - 1)
    const seconds = (FRAMES * SIZE) / RATE
    const integral = ((2 * Math.PI) ** 2 * SHARED_HZ ** 3) / 3
    const bound = RATE / Math.sqrt(2 * seconds * quality * integral)
    const errors = found.map(({ lagSamples }) => lagSamples - LAG)
    const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length)
    // Twelve errors tell their own size to a fifth.
    expect(rms / bound).toBeGreaterThan(0.5)
    expect(rms / bound).toBeLessThan(1.7)
    for (const { boundSamples, expectedSamples } of found) {
      expect(Math.abs(boundSamples / bound - 1)).toBeLessThan(0.15)
      expect(expectedSamples / boundSamples).toBeLessThan(1.2)
      expect(expectedSamples).toBeGreaterThanOrEqual(boundSamples)
    }
  })
})
