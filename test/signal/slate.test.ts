import { describe, expect, test } from 'vitest'
import {
  SLATE,
  SLATE_SPACING_SECONDS,
  slateSignal,
  slateSweep,
  sweepSecondsBelow,
} from '../../src/signal/slate.js'

describe.each([44100, 48000, 96000, 192000])('the slate at %i Hz', rate => {
  const slate = slateSignal(rate)
  const at = (seconds: number): number => Math.round(seconds * rate)

  test('is nine seconds at -20 dBFS, silent before, between and after its sweeps', () => {
    expect(slate.length).toBe(at(9))
    let peak = 0
    for (const value of slate) peak = Math.max(peak, Math.abs(value))
    expect(20 * Math.log10(peak)).toBeCloseTo(-20, 2)
    for (const [from, to] of [
      [0, 0.5],
      [3.5, 4.5],
      [7.5, 9],
    ] as const)
      expect(slate.subarray(at(from), at(to)).every(value => value === 0)).toBe(true)
  })

  test('its second sweep is the first upside down, to the last bit', () => {
    const spacing = at(SLATE_SPACING_SECONDS)
    let compared = 0
    for (let n = at(0.5); n < at(3.5); n++) {
      if (slate[n + spacing] !== -slate[n]!) throw new Error(`differs at ${n}`)
      compared++
    }
    expect(compared).toBe(3 * rate)
  })

  test('begins and ends softly', () => {
    const sweep = slateSweep(rate)
    const largest = (from: number, to: number): number =>
      sweep.subarray(at(from), at(to)).reduce((most, value) => Math.max(most, Math.abs(value)), 0)
    // A quarter of the way up a raised cosine: 0.1464.
    expect(largest(0, 0.015)).toBeLessThan(0.15)
    expect(largest(2.9995, 3)).toBeLessThan(0.01)
  })
})

test('its pitch passes 40, 800 and 16,000 Hz after 0, 1.5 and 3 seconds', () => {
  // Zero crossings in 20 ms around a time, against 40 Hz * exp(t * ln(400) / 3).
  const rate = 192000
  const sweep = slateSweep(rate)
  for (const [seconds, hz] of [
    [1.5, 800],
    [2.25, 800 * Math.sqrt(20)],
    [2.9, 40 * Math.exp((2.9 * Math.log(400)) / 3)],
  ] as const) {
    let crossings = 0
    for (let n = Math.round((seconds - 0.05) * rate); n < Math.round((seconds + 0.05) * rate); n++)
      if (sweep[n - 1]! < 0 !== sweep[n]! < 0) crossings++
    expect(crossings / 0.2 / hz).toBeGreaterThan(0.98)
    expect(crossings / 0.2 / hz).toBeLessThan(1.02)
  }
  expect(sweepSecondsBelow(800)).toBeCloseTo(1.5, 10)
  expect(sweepSecondsBelow(20000)).toBe(SLATE.sweepSeconds)
})

test('is the same function of time at every rate', () => {
  const low = slateSignal(48000)
  const high = slateSignal(96000)
  let apart = 0
  low.forEach((value, n) => {
    apart = Math.max(apart, Math.abs(value - high[2 * n]!))
  })
  expect(apart).toBeLessThan(1e-9)
})

test('a rate that cannot hold it is refused', () => {
  expect(() => slateSignal(32000)).toThrow(RangeError)
})
