import { describe, expect, it } from 'vitest'
import { TruePeakMeter } from '../../src/signal/true-peak.js'
import { noted } from '../evidence.js'

/** A sine with fades of 10 ms: an abrupt edge truly peaks higher. Half a second; the standard's five seconds repeat the same. */
const fadedSine = (rate: number, period: number, phaseDegrees: number, amplitude: number): Float64Array => {
  const frames = rate / 2
  const fade = rate / 100
  return Float64Array.from({ length: frames }, (_, n) => {
    const edge = Math.min(1, n / fade, (frames - 1 - n) / fade)
    return edge * amplitude * Math.sin((2 * Math.PI * n) / period + (phaseDegrees * Math.PI) / 180)
  })
}

const truePeakDb = (rate: number, samples: Float64Array, factor: number): number => {
  const meter = new TruePeakMeter(rate, 2, factor)
  meter.push([samples, samples])
  return 20 * Math.log10(meter.peak())
}

// EBU Tech 3341 (v3 2016, v4 2023), table 1, cases 15 to 19: +0.2 / -0.4 dB. Periods in frames, so any rate serves.
describe('EBU Tech 3341, true peak', () => {
  const cases = [
    [15, 4, 0, 0.5, -6],
    [16, 4, 45, 0.5, -6],
    [17, 6, 60, 0.5, -6],
    [18, 8, 67.5, 0.5, -6],
    [19, 4, 45, 1.41, 3],
  ] as const

  it.each(cases)('case %i', (_, period, phase, amplitude, expected) => {
    for (const rate of [44100, 48000, 96000]) {
      for (const factor of [4, 8]) {
        const error = truePeakDb(rate, fadedSine(rate, period, phase, amplitude), factor) - expected
        expect(error).toBeLessThan(0.2)
        expect(error).toBeGreaterThan(-0.4)
        noted('ebu-true-peak', error)
      }
    }
  })
})

// Largest under-read of n points a frame, 20 log10 cos(pi f / (n fs)): BS.1770 annex 2 (from memory) and computed. It is reached
// where the period is a whole number of frames: then the points fall on the same phases every time. The worst is sought in steps of
// 1/64 of half a turn; our filter may be off by 0.04 dB up to 0.44 of the rate.
describe('BS.1770 annex 2, largest under-read', () => {
  const worst = (period: number, factor: number): number => {
    let lowest = 0
    for (let phase = 0; phase < 64; phase++) {
      const samples = Float64Array.from({ length: 600 }, (_, n) => {
        const edge = Math.min(1, n / 200, (599 - n) / 200)
        return edge * Math.sin((2 * Math.PI * n) / period + (phase * Math.PI) / 64)
      })
      lowest = Math.min(lowest, truePeakDb(48000, samples, factor))
    }
    return lowest
  }

  it.each([
    [3, 4, -0.3011],
    [4, 4, -0.1685],
    [6, 4, -0.0746],
    [4, 8, -0.0419],
    [3, 8, -0.0746],
  ])('period of %i frames with %i points: %f dB', (period, factor, expected) => {
    expect(20 * Math.log10(Math.cos(Math.PI / (period * factor)))).toBeCloseTo(expected, 3)
    const off = worst(period, factor) - expected
    expect(Math.abs(off)).toBeLessThan(0.04)
    noted('true-peak-under-read', off)
  })
})
