import { describe, expect, test } from 'vitest'
import { commonSound } from '../../../src/measure/pair/common-sound.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'
import { runningMean } from '../../../src/measure/pair/smooth.js'

/* What two traces share, bin by bin, where all of it is a formula: |S| = 0.8 of both levels, late by 30 frames. */

const RATE = 8000
const SIZE = 2048
const BINS = SIZE / 2 + 1
const HZ = RATE / SIZE

const sumsOf = (independent: readonly number[], level: (hz: number) => number = () => 4): PairSums => {
  const first = Float64Array.from({ length: BINS }, (_, k) => level(k * HZ))
  const cross = new Float64Array(2 * BINS)
  first.forEach((power, k) => {
    const turn = (-2 * Math.PI * k * 30) / SIZE
    cross[2 * k] = 0.8 * 3 * power * Math.cos(turn)
    cross[2 * k + 1] = 0.8 * 3 * power * Math.sin(turn)
  })
  return {
    ...{ sampleRateHz: RATE, fftSize: SIZE, windowLength: SIZE, independent, seconds: 5, first, cross },
    second: first.map(power => 9 * power),
  }
}
const options = { aroundLag: 30, degrees: 64, maxHalf: 16 }

describe('common sound', () => {
  test('is smoothed over as many bins as bring 64 values together, by register, and less at the bottom', () => {
    const { half, degrees } = commonSound(sumsOf([10, 2, 100]), options)
    const bin = (hz: number): number => Math.round(hz / HZ)
    // (64 / 10 · 1.5 − 1) / 2 = 4.3; for 2 frames 23.5, at most 16; for 100 frames none, but one at least.
    expect([half[bin(200)], half[bin(1000)], half[bin(3000)]]).toEqual([5, 16, 1])
    expect([half[3], half[1], half[9]]).toEqual([1, 1, 4])
    expect(degrees[bin(200)]).toBeCloseTo((10 * 11) / 1.5, 9)
    expect(degrees[bin(1000)]).toBeCloseTo((2 * 33) / 1.5, 9)
    expect(degrees[bin(3000)]).toBeCloseTo((100 * 3) / 1.5, 9)
    expect(commonSound(sumsOf([100, 100, 100]), { ...options, minHalf: 8 }).half[bin(3000)]).toBe(8)
    expect(commonSound(sumsOf([0.1, 0.1, 0.1]), { ...options, maxHalf: 1 }).degrees[500]).toBe(1.0001)
  })

  test('turned by its lag its phases are straight, and the coherence is what it is, less chance', () => {
    const found = commonSound(sumsOf([10, 10, 10]), options)
    const degrees = (10 * 11) / 1.5
    const expected = (0.64 - 1 / degrees) / (1 - 1 / degrees)
    for (const k of [20, 100, 500, 1000]) {
      expect(found.smooth[2 * k]).toBeCloseTo(0.8 * 12, 9)
      expect(found.smooth[2 * k + 1]).toBeCloseTo(0, 9)
      expect(found.cross[2 * k]).toBeCloseTo(0.8 * 12, 9)
      expect(found.level[k]).toBeCloseTo(12, 9)
      expect(found.gammaSquared[k]).toBeCloseTo(expected, 9)
    }
    expect(found.selective).toBe(false)
    expect(commonSound(sumsOf([10, 10, 10]), { ...options, minHalf: 2 }).selective).toBe(true)
  })

  test('read at another lag less of it is left: the mean of its turns over the bins that are smoothed', () => {
    const found = commonSound(sumsOf([10, 10, 10]), { ...options, aroundLag: 0 })
    let mean = 0
    for (let d = -5; d <= 5; d++) mean += Math.cos((2 * Math.PI * 30 * d) / SIZE) / 11
    const degrees = (10 * 11) / 1.5
    const expected = ((0.8 * mean) ** 2 - 1 / degrees) / (1 - 1 / degrees)
    expect(found.gammaSquared[500]).toBeCloseTo(expected, 9)
  })

  test('is none under 25 Hz, nor 130 dB under the strongest', () => {
    const { gammaSquared } = commonSound(
      sumsOf([10, 10, 10], hz => (hz < 1000 ? 1 : hz < 2000 ? 2e-13 : 0.5e-13)),
      options,
    )
    const at = (hz: number): number => gammaSquared[Math.round(hz / HZ)]!
    expect([gammaSquared[6]! > 0, gammaSquared[7]! > 0]).toEqual([false, true])
    expect([at(1500) > 0, at(3000) > 0]).toEqual([true, false])
  })
})

test('a running mean: over as many to each side, over what there is at the ends, of one or of two interleaved', () => {
  const half = Int32Array.of(0, 1, 2, 1, 0)
  expect([...runningMean(Float64Array.of(1, 2, 6, 4, 5), half)]).toEqual([1, 3, 3.6, 5, 5])
  const two = runningMean(Float64Array.of(1, 10, 2, 20, 6, 60, 4, 40, 5, 50), half, 2)
  expect([...two]).toEqual([1, 10, 3, 30, expect.closeTo(3.6, 12), 36, 5, 50, 5, 50])
})
