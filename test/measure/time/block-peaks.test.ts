import { expect, test } from 'vitest'
import { blockPeaks } from '../../../src/measure/time/block-peaks.js'
import { RealFft } from '../../../src/signal/fft.js'

/* The clearest lags of one block from spectra that are sums of delays: S = sum of a e^(-j w lag), both levels 1. */

const SIZE = 1024
const BINS = SIZE / 2 + 1
const fft = new RealFft(SIZE)
const crossOf = (delays: readonly (readonly [lag: number, factor: number])[]): Float64Array => {
  const cross = new Float64Array(2 * BINS)
  for (let k = 0; k < BINS; k++)
    for (const [lag, factor] of delays) {
      cross[2 * k]! += factor * Math.cos((2 * Math.PI * k * lag) / SIZE)
      cross[2 * k + 1]! -= factor * Math.sin((2 * Math.PI * k * lag) / SIZE)
    }
  return cross
}
const ones = new Float64Array(BINS).fill(1)
const peaks = (delays: readonly (readonly [number, number])[], range = 200, level = 1) =>
  blockPeaks(
    ones.map(v => v * level),
    ones.map(v => (v * 9) / level),
    crossOf(delays).map(v => 3 * v),
    range,
    fft,
  )

test('one delay: its place, its sign, and a height of the root of all places that were looked at', () => {
  for (const [lag, factor] of [
    [37, 1],
    [-150, -0.4],
    [0, 1],
  ] as const) {
    const [first, ...others] = peaks([[lag, factor]])
    expect(first!.lagSamples).toBe(lag)
    // Three of 513 bins are left out at the bottom.
    expect(Math.abs(first!.height / (Math.sign(factor) * Math.sqrt(401)) - 1)).toBeLessThan(0.01)
    expect(others).toEqual([])
  }
})

test('several: the highest first, at most four, those that stand five times over the rest', () => {
  const found = peaks([
    [10, 0.9],
    [60, -1],
    [-70, 0.8],
    [120, 0.7],
    [150, 0.6],
  ])
  expect(found.map(({ lagSamples }) => lagSamples)).toEqual([60, 10, -70, 120])
  expect(found.map(({ height }) => Math.sign(height))).toEqual([-1, 1, 1, 1])
  expect(found[1]!.height / found[0]!.height).toBeCloseTo(-0.9, 1)
  // Of a sixth of the highest nothing stands out: 20 · 0.2 is under 5.
  expect(
    peaks([
      [10, 1],
      [60, 0.2],
    ]),
  ).toHaveLength(1)
  expect(
    peaks([
      [10, 1],
      [60, 0.3],
    ]),
  ).toHaveLength(2)
})

test('levels are divided out, and what lies beyond the range is not looked at', () => {
  expect(peaks([[37, 1]], 200, 5)[0]!.height).toBeCloseTo(peaks([[37, 1]])[0]!.height, 9)
  expect(peaks([[37, 1]], 30)).toEqual([])
  expect(blockPeaks(new Float64Array(BINS), ones, crossOf([[3, 1]]), 100, fft)).toEqual([])
})
