import { describe, expect, test } from 'vitest'
import { hann } from '../../src/signal/windows.js'
import { followingDelay } from '../../src/tone/spectra/placement.js'
import {
  powerComplementary,
  windowCorrelation,
  windowCorrelations,
} from '../../src/tone/spectra/power-window.js'
import { segmentsOf, spectralGrid } from '../../src/tone/spectra/resolution.js'

describe('windows', () => {
  test('the squares of two power-complementary windows half a length apart add up to 1 everywhere', () => {
    const w = powerComplementary(512)
    for (let n = 0; n < 256; n++) {
      expect(w[n]! * w[n]! + w[n + 256]! * w[n + 256]!).toBeCloseTo(1, 14)
    }
  })

  // rho(x) = (1 - x)(2 + cos 2 pi x) / 3 + sin(2 pi x) / (2 pi) (from memory: Welch 1967)
  test.each([
    [1 / 4, 0.659155],
    [1 / 2, 1 / 6],
    [3 / 4, 0.007512],
  ])('what a Hann window leaves of a correlation at %d of its length', (share, expected) => {
    expect(windowCorrelation(hann(4096), share * 4096)).toBeCloseTo(expected, 6)
  })

  test('by a transform the same as by the sum', () => {
    const w = powerComplementary(256)
    const all = windowCorrelations(w, 256)
    expect(all).toHaveLength(256)
    all.forEach((value, lag) => {
      expect(value).toBeCloseTo(windowCorrelation(w, lag), 12)
    })
  })
})

describe('the grid', () => {
  test('48 kHz: 16,384 frames, and 65,536 for the low end at a sixteenth of the rate', () => {
    const { normal, low, segmentFrames } = spectralGrid(48000)
    expect(normal.window).toHaveLength(16384)
    expect(low.factor).toBe(16)
    expect(low.window.length * low.factor).toBe(65536)
    expect(low.binHz).toBeCloseTo(0.366, 3)
    expect(segmentFrames).toBe(1 << 21)
  })

  test.each([8000, 11025, 22050, 32000, 44100, 48000, 88200, 96000, 192000, 384000])(
    'at %d Hz windows last about as long, and the low end reaches beyond the crossover of 600 Hz',
    rate => {
      const { normal, low, blockFrames, segmentFrames } = spectralGrid(rate)
      const seconds = normal.window.length / rate
      expect(seconds).toBeGreaterThan(0.24)
      expect(seconds).toBeLessThan(0.49)
      expect((low.window.length * low.factor) / normal.window.length).toBe(4)
      expect((0.55 * rate) / low.factor / 2).toBeGreaterThan(600)
      expect(blockFrames % normal.hop).toBe(0)
      expect(segmentFrames % blockFrames).toBe(0)
    },
  )

  test('pieces cover every window that holds a frame, and no piece is empty of them', () => {
    const grid = spectralGrid(48000)
    const reach = 65536 - 16384
    expect(segmentsOf(grid, 0)).toBe(1)
    expect(segmentsOf(grid, grid.segmentFrames - reach)).toBe(1)
    expect(segmentsOf(grid, grid.segmentFrames - reach + 1)).toBe(2)
  })
})

test('a source that follows: recorded place plus the shift at its own time, straight between knots, constant outside', () => {
  const follow = [
    { atSeconds: 1, shiftSamples: -100 },
    { atSeconds: 2, shiftSamples: -200 },
  ]
  const delay = followingDelay({ atSamples: -150, recordedAtSamples: 480, follow }, follow, 48000)
  expect(delay.shiftAt(0)).toBe(380)
  expect(delay.shiftAt(1e6)).toBe(280)
  // Source frame 72000 (1.5 s) lies at 72000 + 480 - 150.
  expect(delay.shiftAt(72330)).toBeCloseTo(330, 9)
})
