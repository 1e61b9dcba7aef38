import { describe, expect, it } from 'vitest'
import { applyDelay, designDelay } from '../../src/signal/fractional-delay.js'
import { type ShiftKnot, VariableDelay } from '../../src/signal/variable-delay.js'
import { cuts, decibels, largestDifference, noise, sine } from './signals.js'

const rate = 48000

/** Output frames from a signal known at every frame: `count` from `first` on. */
const run = (
  delay: VariableDelay,
  signal: (start: number, length: number) => Float64Array,
  first: number,
  count: number,
): Float64Array => {
  const { start, length } = delay.inputRange(first, count)
  const output = new Float64Array(count)
  delay.apply(first, signal(start, length), start, output)
  return output
}

describe('VariableDelay', () => {
  const drift: readonly ShiftKnot[] = [
    { frame: 0, shift: -3.7 },
    { frame: 10 * 60 * rate, shift: 284.3 }, // 10 ppm
  ]

  // 10 kHz: everything but the sine itself stays 110 dB down; at 20 kHz 99 dB.
  it.each([
    [1000, -130],
    [10000, -110],
    [20000, -99],
  ])('follows a 10 ppm drift on a sine of %i Hz', (frequency, limit) => {
    const delay = new VariableDelay(rate, drift)
    const first = 12_345_678
    const output = run(delay, (start, length) => sine(frequency, rate, length, { start }), first, 20000)
    const ideal = Float64Array.from(output, (_, i) =>
      Math.sin((2 * Math.PI * frequency * (first + i - (-3.7 + (288 * (first + i)) / 28_800_000))) / rate),
    )
    expect(decibels(largestDifference(output, ideal))).toBeLessThan(limit)
  })

  it('does not depend on cuts, to the bit, over knots and slopes', () => {
    const delay = new VariableDelay(44100, [
      { frame: 100, shift: 5.25 },
      { frame: 1500, shift: -20.75 },
      { frame: 1600, shift: -20.75 },
      { frame: 4000, shift: 7.1 },
    ])
    const input = noise('variable', 6000)
    const signal = (start: number, length: number): Float64Array =>
      Float64Array.from({ length }, (_, i) => input[start + i + 500] ?? 0)
    const whole = run(delay, signal, 0, 5000)
    const pieces = new Float64Array(5000)
    const all = cuts('variable', 5000, 400)
    for (const { start, end } of all) pieces.set(run(delay, signal, start, end - start), start)
    expect(all.length).toBeGreaterThan(10)
    expect(pieces).toEqual(whole)
  })

  it('is a fixed delay where the curve is level', () => {
    const kernel = designDelay(0.375, rate)
    const input = noise('level', 1000 + 2 * kernel.halfLength)
    const fixed = new Float64Array(1000)
    applyDelay(kernel, input, fixed)
    const delay = new VariableDelay(rate, [{ frame: 0, shift: 10.375 }])
    // The input's first frame stands halfLength frames before the fixed delay's first output.
    const moved = run(
      delay,
      (start, length) =>
        Float64Array.from({ length }, (_, i) => input[start + i + 10 + kernel.halfLength] ?? 0),
      0,
      1000,
    )
    expect(largestDifference(moved, fixed)).toBeLessThan(1e-15)
  })

  it('holds the first and last shift outside the knots and runs straight between them', () => {
    const delay = new VariableDelay(rate, drift)
    expect([-5, 0, 14_400_000, 28_800_000, 99_999_999].map(frame => delay.shiftAt(frame))).toEqual([
      -3.7, -3.7, 140.3, 284.3, 284.3,
    ])
  })

  it('refuses curves and inputs that cannot be followed', () => {
    expect(() => new VariableDelay(rate, [])).toThrow(RangeError)
    expect(
      () =>
        new VariableDelay(rate, [
          { frame: 5, shift: 0 },
          { frame: 5, shift: 1 },
        ]),
    ).toThrow(/knot 1/)
    expect(
      () =>
        new VariableDelay(rate, [
          { frame: 0, shift: 0 },
          { frame: 5, shift: 6 },
        ]),
    ).toThrow(/steeply/)
    const delay = new VariableDelay(rate, [{ frame: 0, shift: 0.5 }])
    expect(() => {
      delay.apply(0, new Float64Array(100), 0, new Float64Array(10))
    }).toThrow(RangeError)
  })
})
