import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { SeededRandom, seededRandom } from '../../src/signal/random.js'

/** The same generator in whole numbers of any size, modulo 2^32 by hand. */
const slowGenerator = (seed: string): (() => bigint) => {
  const mask = 0xffffffffn
  const digest = createHash('sha256').update(seed).digest()
  let [a, b, c] = [0, 4, 8].map(at => BigInt(digest.readUInt32LE(at))) as [bigint, bigint, bigint]
  let counter = 1n
  const next = (): bigint => {
    const result = (a + b + counter) & mask
    counter = (counter + 1n) & mask
    a = b ^ (b >> 9n)
    b = (c + (c << 3n)) & mask
    c = (((c << 21n) | (c >> 11n)) + result) & mask
    return result
  }
  for (let i = 0; i < 16; i++) next()
  return next
}

describe('SeededRandom', () => {
  it('equals the generator worked out in whole numbers', () => {
    const random = new SeededRandom('Lantern Street')
    const slow = slowGenerator('Lantern Street')
    const draws = Array.from({ length: 5000 }, () => random.nextInt32() >>> 0)
    expect(draws).toEqual(Array.from({ length: 5000 }, () => Number(slow())))
  })

  it('is even: mean, variance and neighbours as they should be, within 5 sigma', () => {
    const next = seededRandom('even')
    const n = 200_000
    let sum = 0
    let squares = 0
    let products = 0
    let last = 0
    let inside = 0
    for (let i = 0; i < n; i++) {
      const x = next() - 0.5
      if (x >= -0.5 && x < 0.5) inside++
      sum += x
      squares += x * x
      products += x * last
      last = x
    }
    expect(inside).toBe(n)
    expect(Math.abs(sum / n)).toBeLessThan((5 * Math.sqrt(1 / 12)) / Math.sqrt(n))
    expect(Math.abs(squares / n - 1 / 12)).toBeLessThan((5 * Math.sqrt(1 / 180)) / Math.sqrt(n))
    expect(Math.abs(products / n)).toBeLessThan((5 * (1 / 12)) / Math.sqrt(n))
  })

  it('gives other numbers for another text', () => {
    const [a, b] = [seededRandom('a'), seededRandom('b')]
    const same = Array.from({ length: 100 }, () => a() === b()).filter(Boolean)
    expect(same).toHaveLength(0)
  })
})
