import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import * as portable from '../../src/terms/portable.js'
import { noiseFrom } from '../end-to-end/setting/sound.js'

/** How many doubles lie between two numbers. */
const apart = (a: number, b: number): number => {
  if (Object.is(a, b) || a === b) return 0
  const size = Math.max(Math.abs(a), Math.abs(b))
  const next = new Float64Array([size])
  const bits = new BigUint64Array(next.buffer)
  bits[0]!++
  return Math.abs(a - b) / (next[0]! - size)
}

const COUNT = 20_000

/** Arguments spread over several sizes, the same every time. */
const numbers = (seed: number, sizes: readonly number[]): readonly number[] => {
  const noise = noiseFrom(seed)
  return Array.from({ length: COUNT }, (_, i) => noise() * sizes[i % sizes.length]!)
}

const angles = numbers(1, [1, 10, 1000, 1e6, 6e7])
const exponents = numbers(2, [1, 20, 700])
const positive = numbers(3, [0.1, 1, 50, 700]).map(x => Math.exp(x))
const any = numbers(4, [1, 3, 1000])

describe('within two units in the last place of what the engine says', () => {
  test.each([
    ['sin', portable.sin, Math.sin, angles],
    ['cos', portable.cos, Math.cos, angles],
    ['tan', portable.tan, Math.tan, angles],
    ['exp', portable.exp, Math.exp, exponents],
    ['log', portable.log, Math.log, positive],
    ['log2', portable.log2, Math.log2, positive],
    ['log10', portable.log10, Math.log10, positive],
    ['atan', portable.atan, Math.atan, any],
  ] as const)('%s', (_name, ours, theirs, values) => {
    let worst = 0
    for (const x of values) worst = Math.max(worst, apart(ours(x), theirs(x)))
    expect(values).toHaveLength(COUNT)
    expect(worst).toBeLessThanOrEqual(2)
  })

  test.each([
    ['atan2', portable.atan2, Math.atan2],
    ['hypot', portable.hypot, Math.hypot],
  ] as const)('%s', (_name, ours, theirs) => {
    let worst = 0
    any.forEach((y, i) => {
      const x = any[COUNT - 1 - i]!
      worst = Math.max(worst, apart(ours(y, x), theirs(y, x)))
    })
    expect(worst).toBeLessThanOrEqual(2)
  })
})

// Digits after tables of constants, from memory (pi to 40 digits); the engine is not asked.
describe('known values', () => {
  test('quarter turns', () => {
    expect(portable.sin(Math.PI)).toBe(1.2246467991473532e-16) // pi minus the double next to it
    expect(portable.cos(Math.PI)).toBe(-1)
    expect(portable.sin(Math.PI / 2)).toBe(1)
    expect(portable.sin(Math.PI / 6)).toBeCloseTo(0.5, 15)
    expect(portable.atan(1)).toBe(Math.PI / 4)
    expect(portable.atan2(0, -1)).toBe(Math.PI)
    expect(portable.atan2(-1, -1)).toBe((-3 * Math.PI) / 4)
    expect(portable.atan2(1, 0)).toBe(Math.PI / 2)
    expect(portable.atan2(0, 0)).toBe(0)
  })

  test('powers and logarithms', () => {
    expect(portable.exp(0)).toBe(1)
    expect(apart(portable.exp(1), Math.E)).toBeLessThanOrEqual(1)
    expect(portable.log(1)).toBe(0)
    expect(portable.log10(1000)).toBe(3)
    for (const exponent of [-1074, -1040, -1022, -3, 0, 10, 1023])
      expect(portable.log2(2 ** exponent)).toBe(exponent)
    expect(portable.hypot(3, 4)).toBe(5)
    expect(portable.hypot(2, 3, 6)).toBe(7)
  })

  test('the ends: what has no value, and what a double does not hold', () => {
    expect(Object.is(portable.sin(-0), -0)).toBe(true)
    expect([portable.sin(Infinity), portable.cos(NaN), portable.exp(NaN), portable.log(-1)]).toEqual([
      NaN,
      NaN,
      NaN,
      NaN,
    ])
    expect([portable.exp(710), portable.exp(-746), portable.exp(-745.1)]).toEqual([Infinity, 0, 5e-324])
    expect([portable.log(0), portable.log2(0), portable.log(Infinity)]).toEqual([
      -Infinity,
      -Infinity,
      Infinity,
    ])
    expect(apart(portable.log(5e-324), -744.4400719213812)).toBeLessThanOrEqual(1) // 1074 ln 2
    expect(apart(portable.log(Number.MAX_VALUE), 709.782712893384)).toBeLessThanOrEqual(1)
  })
})

test('the same bits on every machine', () => {
  const hash = createHash('sha256')
  const add = (values: readonly number[], f: (x: number) => number): void => {
    hash.update(new Uint8Array(Float64Array.from(values, f).buffer))
  }
  // arguments made without any function of the engine
  for (const f of [portable.sin, portable.cos, portable.tan]) add(angles, f)
  add(exponents, portable.exp)
  for (const f of [portable.log, portable.log2, portable.log10]) add(any.map(Math.abs), f)
  add(any, portable.atan)
  add(any, x => portable.atan2(x, -1.5))
  expect(hash.digest('hex')).toBe('94200f155085a7e6de7e0b3882a5f0396bdb678a30c0c87d57454e58d92dde07')
})
