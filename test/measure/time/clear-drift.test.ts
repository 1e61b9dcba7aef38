import { describe, expect, test } from 'vitest'
import { blockLine } from '../../../src/measure/time/block-line.js'
import { isClearDrift } from '../../../src/measure/time/clear-drift.js'
import type { LagCurve } from '../../../src/measure/time/lag-curve.js'
import { gaussian } from '../../corpus/random.js'

/* Twelve blocks of a second, each known to a frame: the whole take is known to 1 / √12, the slope of a line to 1 / √143 frames per second. */

const curveOf = (seed: string, claimed: number): LagCurve => {
  const next = gaussian(seed)
  const blocks = Array.from({ length: 12 }, (_, i) => ({
    atSeconds: i + 0.5,
    lagSamples: next(),
    errorSamples: claimed,
  }))
  const line = blockLine(blocks)!
  return { blocks, compared: 1, drift: null, line, steps: [], swaySamples: 0, model: () => 0 }
}
const BOUND = 1 / Math.sqrt(12)
const SLOPE_ERROR = 1 / Math.sqrt(143)
const SEEDS = Array.from({ length: 200 }, (_, i) => `clear drift ${i}`)
const clear = (slope: number, claimed = 1, bound = BOUND): number =>
  SEEDS.filter(seed => isClearDrift(slope, curveOf(seed, claimed), bound)).length

describe('whether a followed drift is clear', () => {
  test('chance is in fewer than one of a hundred takes, eight standard errors are in nearly all', () => {
    expect(clear(0)).toBeLessThan(0.01 * SEEDS.length)
    expect(clear(8 * SLOPE_ERROR)).toBeGreaterThan(0.9 * SEEDS.length)
    expect(clear(-8 * SLOPE_ERROR)).toBeGreaterThan(0.9 * SEEDS.length)
  })

  test('blocks that claim more than the whole take can know are disbelieved', () => {
    // The whole is known ten times worse than all blocks together say.
    expect(clear(8 * SLOPE_ERROR, 1, 10 * BOUND)).toBeLessThan(0.1 * SEEDS.length)
    expect(clear(60 * SLOPE_ERROR, 1, 10 * BOUND)).toBeGreaterThan(0.9 * SEEDS.length)
  })

  test('without a line nothing is clear', () => {
    expect(isClearDrift(100, { ...curveOf('none', 1), line: null }, BOUND)).toBe(false)
  })
})
