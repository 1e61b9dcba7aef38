import { describe, expect, it } from 'vitest'
import { besselI0, hann, kaiser, kaiserAt, sinc } from '../../src/signal/windows.js'

describe('windows', () => {
  it('Hann is periodic: its copies half a length apart add up to 1, its squares a quarter apart to 1.5', () => {
    const window = hann(64)
    for (let n = 0; n < 32; n++) expect(window[n]! + window[n + 32]!).toBeCloseTo(1, 15)
    for (let n = 0; n < 16; n++) {
      const sum = [0, 16, 32, 48].reduce((total, shift) => total + window[n + shift]! * window[n + shift]!, 0)
      expect(sum).toBeCloseTo(1.5, 14)
    }
  })

  // Tables of Abramowitz & Stegun, 9.8 (from memory), computed again with scipy.special.i0 1.17.1.
  it.each([
    [0, 1],
    [1, 1.2660658777520082],
    [5, 27.239871823604442],
    [16.751, 1849697.73831236],
    [25, 5774560606.4663105],
  ])('Bessel I0(%f)', (x, expected) => {
    expect(besselI0(x) / expected).toBeCloseTo(1, 13)
  })

  // scipy.signal.windows.kaiser(5, 8) of SciPy 1.17.1
  it('Kaiser is symmetric and has the known shape', () => {
    const window = kaiser(5, 8)
    const expected = [0.00233883, 0.36897272, 1, 0.36897272, 0.00233883]
    for (const [n, value] of expected.entries()) expect(window[n]).toBeCloseTo(value, 6)
    expect(kaiserAt(1.0001, 8)).toBe(0)
    expect([...kaiser(1, 8)]).toEqual([1])
  })

  it('sinc is exact at whole numbers', () => {
    expect([-3, -1, 0, 1, 40].map(sinc)).toEqual([0, 0, 1, 0, 0])
    expect(sinc(0.5)).toBeCloseTo(2 / Math.PI, 15)
  })
})
