import { describe, expect, test } from 'vitest'
import { blockLine, clearDrift, wandering } from '../../../src/measure/time/block-line.js'
import { gaussian } from '../../corpus/random.js'

const BLOCKS = 60
const TRIALS = 400
const ERROR = 0.05

/** Blocks a second apart, white errors of the size that they state. */
const blocksOf = (seed: string, lagAt: (seconds: number) => number) => {
  const noise = gaussian(seed)
  return Array.from({ length: BLOCKS }, (_, i) => {
    const errorSamples = ERROR * (1 + (i % 4))
    return { atSeconds: i, lagSamples: lagAt(i) + errorSamples * noise(), errorSamples }
  })
}

describe('the line through blocks', () => {
  test('its stated error is true: error over error spreads by 1, and 3 are rarely passed', () => {
    const ratios = Array.from({ length: TRIALS }, (_, trial) => {
      const line = blockLine(blocksOf(`line ${trial}`, t => 7 + 0.01 * t))!
      return (line.slope - 0.01) / line.error
    })
    const spread = Math.sqrt(ratios.reduce((sum, r) => sum + r * r, 0) / TRIALS)
    expect(ratios).toHaveLength(TRIALS)
    expect(spread).toBeGreaterThan(0.8)
    expect(spread).toBeLessThan(1.25)
    expect(ratios.filter(r => Math.abs(r) > 3.3).length).toBeLessThanOrEqual(0.01 * TRIALS)
  })

  test('a drift that is there is told, one that is not is not', () => {
    let told = 0
    let wrong = 0
    for (let trial = 0; trial < TRIALS; trial++) {
      // Error of the slope, computed: 0.084 / (sqrt(60) * 17.3) = 6.3e-4 frames per second; eleven of them.
      const drifting = blocksOf(`drift ${trial}`, t => 0.007 * t)
      if (clearDrift(drifting, blockLine(drifting)) !== null) told++
      const flat = blocksOf(`flat ${trial}`, () => 3)
      if (clearDrift(flat, blockLine(flat)) !== null) wrong++
    }
    expect(told).toBeGreaterThanOrEqual(0.99 * TRIALS)
    expect(wrong).toBeLessThanOrEqual(0.015 * TRIALS)
  })

  test('two levels are no drift', () => {
    let tested = 0
    for (let trial = 0; trial < 100; trial++) {
      const change = 10 + (trial % 40)
      const blocks = blocksOf(`levels ${trial}`, t => (t < change ? 0 : 1.2))
      expect(clearDrift(blocks, blockLine(blocks))).toBeNull()
      tested++
    }
    expect(tested).toBe(100)
  })
})

test('wandering: nothing beyond the errors of still blocks, the rms of a sway, and no say for a wild block', () => {
  const still = blocksOf('still', () => 3)
  expect(wandering(still, () => 3)).toBeLessThan(ERROR * 2)
  const sway = blocksOf('sway', t => 3 + 4.2 * Math.sin(2 * Math.PI * 0.2 * t + 0.4))
  // A sine has an rms of 0.7071 of its top.
  expect(wandering(sway, () => 3)).toBeCloseTo(4.2 * Math.SQRT1_2, 1)
  const wild = still.map((b, i) => (i === 7 ? { ...b, lagSamples: 60 } : b))
  expect(wandering(wild, () => 3)).toBeLessThan(ERROR * 3)
})
