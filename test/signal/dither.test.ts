import { describe, expect, it } from 'vitest'
import { roundToGrid, TpdfQuantiser } from '../../src/signal/dither.js'
import { SeededRandom } from '../../src/signal/random.js'
import { cuts, noise } from './signals.js'

const quantised = (samples: Float64Array, bits: number, seed: string): Float64Array => {
  const result = samples.slice()
  new TpdfQuantiser(bits, 1, seed).quantise([result])
  return result
}

describe('TpdfQuantiser', () => {
  it('equals the definition: round(x + difference of the two halves of a draw)', () => {
    const samples = noise('definition', 3000)
    const random = new SeededRandom('song/channel 0')
    const expected = samples.map(x => {
      const draw = random.nextInt32() >>> 0
      const dither = (Math.floor(draw / 65536) - (draw % 65536)) / 65536
      return Math.floor(x * 32768 + dither + 0.5) / 32768
    })
    expect(quantised(samples, 16, 'song')).toEqual(expected)
  })

  it('does not depend on block sizes', () => {
    const samples = noise('blocks', 5000)
    const pieces = samples.slice()
    const quantiser = new TpdfQuantiser(24, 1, 'blocks')
    for (const { start, end } of cuts('dither', 5000, 300)) quantiser.quantise([pieces.subarray(start, end)])
    expect(pieces).toEqual(quantised(samples, 24, 'blocks'))
  })

  it.each([8, 16, 24, 32])('leaves whole steps inside the range of %i bits', bits => {
    const full = Number(1n << BigInt(bits - 1))
    const samples = Float64Array.of(-1.5, -1, -0.3, 0, 0.7, 1 - 1 / full, 1, 2)
    const result = quantised(samples, bits, 'range')
    for (const value of result) {
      expect(Number.isInteger(value * full)).toBe(true)
      expect(value >= -1 && value <= 1 - 1 / full).toBe(true)
    }
    expect([result[0], result[7]]).toEqual([-1, 1 - 1 / full])
  })

  it('gives each channel noise of its own, and each seed', () => {
    const n = 100_000
    const block = [new Float64Array(n), new Float64Array(n)]
    new TpdfQuantiser(16, 2, 'two').quantise(block)
    const [left, right] = block as [Float64Array, Float64Array]
    let products = 0
    let power = 0
    for (let i = 0; i < n; i++) {
      products += left[i]! * right[i]!
      power += left[i]! * left[i]!
    }
    expect(Math.abs(products / power)).toBeLessThan(5 / Math.sqrt(n)) // 5 sigma
    expect(quantised(new Float64Array(500), 16, 'x')).not.toEqual(quantised(new Float64Array(500), 16, 'y'))
    expect(quantised(new Float64Array(n), 16, 'two')).toEqual(left)
  })
})

describe('roundToGrid', () => {
  it('rounds to the nearest step, halves up, and clamps', () => {
    const step = 1 / 128
    const block = [Float64Array.of(0.4 * step, 0.5 * step, -0.5 * step, -0.6 * step, 1, -1, 1.2, -3)]
    roundToGrid(block, 8)
    expect([...block[0]!]).toEqual([0, step, 0, -step, 1 - step, -1, 1 - step, -1])
  })

  it('leaves what is on the grid', () => {
    const words = Float64Array.from({ length: 1000 }, (_, i) => (i * 8191 - 4_000_000) / 8388608)
    const block = [words.slice()]
    roundToGrid(block, 24)
    expect(block[0]).toEqual(words)
  })
})
