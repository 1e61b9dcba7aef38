import { describe, expect, it } from 'vitest'
import { type DecimationOptions, Decimator } from '../../src/signal/decimate.js'
import { cuts, decibels, largestDifference, noise, sine } from './signals.js'

const decimated = (input: Float64Array, factor: number, options?: DecimationOptions): Float64Array => {
  const decimator = new Decimator(factor, options)
  const output = new Float64Array(input.length)
  const count = decimator.push(input, output)
  return output.slice(0, count + decimator.finish(output.subarray(count)))
}

describe('Decimator', () => {
  it.each([2, 3, 5, 16])('keeps the band and its time at factor %i', factor => {
    const rate = 48000
    for (const share of [0.05, 0.5, 0.8]) {
      const frequency = (share * rate) / factor / 2
      const length = 400 * factor
      const output = decimated(sine(frequency, rate, length), factor)
      expect(output.length).toBe(400)
      const ideal = sine(frequency, rate / factor, 400)
      // Away from the ends, where the sine begins out of nothing.
      expect(decibels(largestDifference(output.subarray(100, 300), ideal.subarray(100, 300)))).toBeLessThan(
        -100,
      )
    }
  })

  it('keeps away what would fold into the band', () => {
    for (const factor of [2, 4, 15]) {
      for (const share of [1.2, 1.5, factor - 0.1]) {
        const frequency = (share * 48000) / factor / 2
        const output = decimated(sine(frequency, 48000, 300 * factor), factor)
        expect(decibels(Math.max(...output.subarray(100, 200)))).toBeLessThan(-100)
      }
    }
  })

  it('does not depend on block sizes, to the bit, and ends on the last place', () => {
    for (const [factor, length] of [
      [2, 4001],
      [3, 4000],
      [16, 4015],
    ] as const) {
      const input = noise('decimate', length)
      const whole = decimated(input, factor)
      expect(whole.length).toBe(Math.ceil(length / factor))
      const decimator = new Decimator(factor)
      const pieces: number[] = []
      const output = new Float64Array(length)
      for (const { start, end } of cuts(`decimate ${factor}`, length, 90)) {
        expect(decimator.outputLength(end - start)).toBeLessThanOrEqual(output.length)
        const count = decimator.push(input.subarray(start, end), output)
        expect(count).toBeLessThanOrEqual(decimator.outputLength(end - start))
        pieces.push(...output.subarray(0, count))
      }
      pieces.push(...output.subarray(0, decimator.finish(output)))
      expect(Float64Array.from(pieces)).toEqual(whole)
    }
  })

  it('equals the plain sum over the impulse response', () => {
    const factor = 4
    const input = noise('plain', 600)
    const decimator = new Decimator(factor)
    const reach = decimator.halfLength
    // The response, read off by sending an impulse through at each place within one step.
    const response = new Float64Array(2 * reach + 1)
    for (let shift = 0; shift < factor; shift++) {
      const impulse = new Float64Array(4 * reach)
      const at = 2 * reach + 2 - ((2 * reach + 2) % factor) + shift
      impulse[at] = 1
      decimated(impulse, factor).forEach((value, k) => {
        const n = k * factor - at
        if (Math.abs(n) <= reach) response[n + reach] = value
      })
    }
    const expected = Float64Array.from({ length: 150 }, (_, k) => {
      let sum = 0
      for (let n = -reach; n <= reach; n++) sum += response[n + reach]! * (input[k * factor - n] ?? 0)
      return sum
    })
    expect(largestDifference(decimated(input, factor), expected)).toBeLessThan(1e-14)
  })

  it('tells its response', () => {
    const decimator = new Decimator(3, { bandFraction: 0.5, attenuationDb: 60 })
    for (const cycles of [0.01, 0.08, 0.15]) {
      const tone = sine(cycles, 1, 3000)
      const output = decimated(tone, 3, { bandFraction: 0.5, attenuationDb: 60 }).subarray(200, 800)
      let power = 0
      // Over whole periods of all three: 100 input frames times 3.
      for (let k = 0; k < 500; k++) power += output[k]! * output[k]!
      expect(power / 250 / decimator.powerResponse(cycles)).toBeCloseTo(1, 6)
    }
  })

  it('refuses what it cannot do', () => {
    for (const factor of [1, 0, 2.5, Number.NaN]) expect(() => new Decimator(factor)).toThrow(RangeError)
    expect(() => new Decimator(2).push(new Float64Array(1000), new Float64Array(3))).toThrow(/output holds 3/)
  })
})
