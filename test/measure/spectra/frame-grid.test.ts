import { describe, expect, test } from 'vitest'
import {
  frameGrid,
  frameStart,
  gridSegments,
  hannOverlap,
  independentShare,
} from '../../../src/measure/spectra/frame-grid.js'
import { hann } from '../../../src/signal/windows.js'

const grid = (frames: number, hopsPerWindow: 2 | 3 = 3) =>
  frameGrid({ sampleRateHz: 48000, frames, fftSize: 8192, hopsPerWindow, folds: 8, blockSeconds: 1 })

describe('the grid', () => {
  test('weighs every instant of a short take exactly the same', () => {
    const g = grid(48000)
    const window = hann(g.windowLength)
    const weight = new Float64Array(48000)
    for (let hop = 0; hop < g.hops; hop++) {
      const start = frameStart(g, hop)
      window.forEach((w, n) => {
        if (start + n >= 0 && start + n < 48000) weight[start + n] = weight[start + n]! + w * w
      })
    }
    // Squares of Hann windows a third apart add to 9/8.
    let checked = 0
    for (const w of weight) {
      expect(w).toBeCloseTo(1.125, 12)
      checked++
    }
    expect(checked).toBe(48000)
  })

  test('segments cover every frame once, in order, and no fold is split between two', () => {
    for (const frames of [1, 5000, 48000, 14_400_000]) {
      const g = grid(frames, frames > 1_000_000 ? 2 : 3)
      const segments = gridSegments(g, 234)
      let next = 0
      for (const { firstHop, endHop, fold } of segments) {
        expect(firstHop).toBe(next)
        expect(endHop - firstHop).toBeLessThanOrEqual(234)
        expect(Math.floor(((fold + 1) * g.hops) / g.folds)).toBeGreaterThanOrEqual(endHop)
        next = endHop
      }
      expect(next).toBe(g.hops)
    }
  })
})

// P. Welch 1967, from memory; numbers computed: rho(1/4), rho(1/2), rho(3/4) of the Hann window.
test('overlap of Hann frames', () => {
  expect(hannOverlap(0)).toBe(1)
  expect(hannOverlap(0.25)).toBeCloseTo(0.659155, 6)
  expect(hannOverlap(0.5)).toBeCloseTo(1 / 6, 12)
  expect(hannOverlap(-0.75)).toBeCloseTo(0.007512, 6)
  expect(hannOverlap(1)).toBe(0)
  // A lag of 95, 480, 960 and 1920 frames in a window of 4,096 (simulated 0.9965, 0.9135, 0.6939).
  const seen = [95, 480, 960, 1920].map(lag => hannOverlap(lag / 4096))
  for (const [i, value] of [0.9965, 0.9135, 0.6938, 0.2115].entries()) expect(seen[i]).toBeCloseTo(value, 4)
})

test('independent frames per frame: 0.9474 at half overlap', () => {
  expect(independentShare(2)).toBeCloseTo(0.9474, 4)
  expect(independentShare(3)).toBeCloseTo(0.6915, 3)
})
