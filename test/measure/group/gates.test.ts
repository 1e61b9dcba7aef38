import { expect, test } from 'vitest'
import { gatesOf } from '../../../src/measure/group/gates.js'

/* Above which mean square a frame votes: 45 dB under the loud frames, never under -140 dBFS. */

test('45 dB under the 95th percentile of the frames that were looked at', () => {
  const levels = Float32Array.from({ length: 101 }, (_, i) => i / 100)
  // Not looked at; and whatever their order.
  const mixed = Float32Array.from([...levels].reverse().flatMap(level => [level, Number.NaN]))
  const [straight, turned] = gatesOf([levels, mixed])
  expect(straight! / (3e-5 * 0.95)).toBeCloseTo(1, 6)
  expect(turned).toBe(straight)
  // A twentieth of all frames may be louder than all others.
  const strokes = Float32Array.from({ length: 101 }, (_, i) => (i % 25 === 0 ? 1 : 1e-3))
  expect(gatesOf([strokes])[0]! / 3e-8).toBeCloseTo(1, 5)
})

test('nothing under -140 dBFS votes, where all is silent or nothing was looked at', () => {
  expect(gatesOf([new Float32Array(10), new Float32Array(0), new Float32Array(4).fill(Number.NaN)])).toEqual([
    1e-14, 1e-14, 1e-14,
  ])
  expect(gatesOf([new Float32Array(10).fill(1e-10)])).toEqual([1e-14])
})
