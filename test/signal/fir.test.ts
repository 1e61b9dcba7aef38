import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { filterFrames } from '../../src/signal/fir.js'
import { noise } from './signals.js'

/** One output at a time: the order of additions that the fast loop promises. */
const slowFilter = (taps: Float64Array, input: Float64Array, start: number, count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => {
    let sum = 0
    for (let k = 0; k < taps.length; k++) sum += taps[k]! * input[start + i + k]!
    return sum
  })

describe('filterFrames', () => {
  it('gives the very bits of the plain loop, for any length and start', () => {
    let compared = 0
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 24 }),
        fc.integer({ min: 0, max: 40 }),
        fc.integer({ min: 0, max: 9 }),
        fc.string(),
        (quarters, count, start, name) => {
          const taps = noise(`taps ${name}`, 4 * quarters)
          const input = noise(`input ${name}`, start + count + taps.length + 3)
          const output = new Float64Array(count + 2).fill(7)
          filterFrames(taps, input, start, output, count)
          expect(output.subarray(0, count)).toEqual(slowFilter(taps, input, start, count))
          expect([...output.subarray(count)]).toEqual([7, 7])
          compared += count
        },
      ),
      { seed: 3, numRuns: 300 },
    )
    expect(compared).toBeGreaterThan(3000)
  })
})
