import { describe, expect, it } from 'vitest'
import { allPairs, CrossSpectra } from '../../src/signal/spectra.js'
import { noise, sine } from './signals.js'

describe('CrossSpectra', () => {
  it('has the phase -2 pi f d for a second channel that is late by d', () => {
    // Conjugate on the first index; lag 3 frames at 1 kHz: -22.5 degrees (check of the project's sign rule).
    const spectra = new CrossSpectra(2, 4096)
    const frequency = (48000 / 4096) * 85
    const early = sine(frequency, 48000, 4096 + 3)
    spectra.add([early.subarray(3), early])
    const bin = 85
    const phase = Math.atan2(spectra.imaginary[0]![bin]!, spectra.real[0]![bin]!)
    expect(phase).toBeCloseTo((-2 * Math.PI * frequency * 3) / 48000, 6)
  })

  it('can be lined up by start frames', () => {
    const signal = noise('lined up', 2000)
    const late = new Float64Array(2000)
    late.set(signal.subarray(0, 1963), 37)
    const spectra = new CrossSpectra(2, 1024)
    for (const start of [0, 256, 512]) spectra.add([signal, late], [start, start + 37])
    expect(spectra.imaginary[0]!.every(value => value === 0)).toBe(true)
    // The same products in single precision, added in another order: three frames, 2^-24 each.
    const [auto] = spectra.auto
    expect(spectra.real[0]!.every((value, k) => Math.abs(value - auto![k]!) <= 2e-7 * auto![k]!)).toBe(true)
    expect(spectra.frames).toBe(3)
  })

  it('gives the power density of white noise', () => {
    // One-sided density of uniform noise ±0.5 (variance 1/12) at rate 1: 2 / 12. 400 independent frames, 511 bins averaged:
    // relative sigma about 1 / sqrt(400 * 511 / 1.5).
    const spectra = new CrossSpectra(1, 1024)
    const signal = noise('white', 400 * 1024)
    for (let k = 0; k < 400; k++) spectra.add([signal], k * 1024)
    const inner = spectra.auto[0]!.subarray(2, 511)
    const mean = inner.reduce((sum, value) => sum + value, 0) / inner.length
    const density = (2 * mean) / (spectra.frames * spectra.windowPower)
    expect(density * 6).toBeGreaterThan(0.98)
    expect(density * 6).toBeLessThan(1.02)
  })

  it('is bounded by Schwarz: |Sij|^2 <= Sii Sjj, equal for one frame', () => {
    const block = [noise('a', 3000), noise('b', 3000), noise('c', 3000)]
    const spectra = new CrossSpectra(3, 512)
    expect(spectra.pairs).toEqual([
      [0, 1],
      [0, 2],
      [1, 2],
    ])
    const coherences = (): number[] =>
      spectra.pairs.flatMap(([i, j], p) =>
        Array.from({ length: spectra.bins }, (_, k) => {
          const re = spectra.real[p]![k]!
          const im = spectra.imaginary[p]![k]!
          return (re * re + im * im) / (spectra.auto[i]![k]! * spectra.auto[j]![k]!)
        }),
      )
    spectra.add(block, 0)
    for (const coherence of coherences()) expect(coherence).toBeCloseTo(1, 5)
    for (const start of [512, 1024, 1536, 2048]) spectra.add(block, start)
    const five = coherences()
    expect(five.every(coherence => coherence <= 1)).toBe(true)
    // Mean coherence of unrelated noise over K segments is 1/K (Carter 1987).
    expect(five.reduce((sum, value) => sum + value, 0) / five.length).toBeCloseTo(0.2, 1)
  })

  it('takes a given list of pairs, and sums the same however many frames wait', () => {
    const block = [noise('a', 4608), noise('b', 4608)]
    const asked = new CrossSpectra(2, 512, [[1, 0]])
    const left = new CrossSpectra(2, 512, [[1, 0]])
    for (let frame = 0; frame < 9; frame++) {
      asked.add(block, 512 * frame)
      left.add(block, 512 * frame)
      expect(asked.real[0]!.some(value => value !== 0)).toBe(true)
    }
    // Other frames are added in single precision before they go into the sums.
    let compared = 0
    for (const part of ['real', 'imaginary'] as const) {
      asked[part][0]!.forEach((value, k) => {
        expect(Math.abs(value - left[part][0]![k]!)).toBeLessThan(
          1e-6 * left.auto[0]![k]! + 1e-6 * left.auto[1]![k]!,
        )
        compared++
      })
    }
    expect(compared).toBe(2 * 257)
    expect(asked.auto).toEqual(left.auto)
    expect(left.frames).toBe(9)
    expect(allPairs(1)).toEqual([])
  })
})
