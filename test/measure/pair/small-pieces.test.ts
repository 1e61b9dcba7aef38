import { describe, expect, test } from 'vitest'
import { arrivalSpread, goldenTop } from '../../../src/measure/pair/arrival-spread.js'
import { LagObjective } from '../../../src/measure/pair/lag-objective.js'
import { jackknifeError, lagsWithoutFolds, statedError } from '../../../src/measure/pair/leave-out.js'
import { octaveBands } from '../../../src/measure/pair/octaves.js'
import { independentFrames } from '../../../src/measure/pair/pair-sums.js'
import { runningMean } from '../../../src/measure/pair/smooth.js'
import { turnedBy } from '../../../src/measure/pair/turn.js'
import {
  frameGrid,
  frameMiddleSeconds,
  frameStart,
  gridSegments,
  hannOverlap,
  independentShare,
} from '../../../src/measure/spectra/frame-grid.js'
import { registerOf } from '../../../src/measure/spectra/registers.js'

/* Small pure pieces of the estimator against values worked out by hand or from their definition (found by `npm run mutants`). */

describe('leaving parts out', () => {
  test('jackknife', () => {
    expect(jackknifeError([1, 2, 3])).toBeCloseTo(Math.sqrt((2 / 3) * 2), 12)
    expect(jackknifeError([5, 5])).toBe(0)
    expect([jackknifeError([1]), jackknifeError([])]).toEqual([Number.NaN, Number.NaN])
  })

  test('steadied by what was expected, never under the bound', () => {
    expect(statedError([], 0.2, 0.1)).toBe(0.2)
    expect(statedError([1], 0.05, 0.1)).toBe(0.1)
    expect(statedError([1, 2, 3], 0.5, 0.1)).toBeCloseTo(Math.sqrt((6 * 0.25 + 2 * (4 / 3)) / 8), 12)
    expect(statedError([1, 1, 1], 0.01, 0.1)).toBe(0.1)
  })

  test('lag without each part by one Newton step', () => {
    const pulls = [
      { slope: 1, curvature: -10, value: 0 },
      { slope: -1, curvature: -30, value: 0 },
    ]
    const [first, second] = lagsWithoutFolds(5, pulls)
    expect(first).toBeCloseTo(5 - -1 / -30, 12)
    expect(second).toBeCloseTo(5 - 1 / -10, 12)
  })
})

describe('octaves', () => {
  test('from 31.25 Hz to 16 kHz, each from its middle over √2 to its middle times √2, in bins', () => {
    const bands = octaveBands(48000, 8192)
    expect(bands.map(({ middleHz }) => middleHz)).toEqual([
      31.25, 62.5, 125, 250, 500, 1000, 2000, 4000, 8000, 16000,
    ])
    const of1k = bands.find(({ middleHz }) => middleHz === 1000)!
    expect([of1k.from, of1k.to]).toEqual([121, 241]) // 707.1 and 1414.2 Hz of 5.859 Hz
    expect(bands[0]!.from).toBe(4)
    expect(bands.at(-1)!.to).toBe(3862)
    expect(octaveBands(16000, 8192).at(-1)).toMatchObject({ middleHz: 8000, to: 4096 })
    expect(octaveBands(48000, 256).map(({ middleHz }) => middleHz)[0]).toBe(500)
  })

  test('the spread is the mean distance, weighted', () => {
    const lag = (excessSamples: number, weight: number) => ({ middleHz: 1, excessSamples, weight })
    expect(arrivalSpread([lag(-4, 1), lag(2, 3)])).toBe(2.5)
    expect(arrivalSpread([])).toBe(0)
  })

  test('golden section finds the top', () => {
    expect(goldenTop(x => -((x - 1.234) ** 2), 0, 5, 1e-6)).toBeCloseTo(1.234, 5)
    expect(goldenTop(x => x, 0, 5, 1e-6)).toBeCloseTo(5, 5)
    expect(goldenTop(x => -x, 0, 5, 1e-6)).toBeCloseTo(0, 5)
  })

  test('registers begin at 250 Hz and 2 kHz', () => {
    expect([0, 249.9, 250, 1999, 2000, 20000].map(registerOf)).toEqual([0, 0, 1, 1, 2, 2])
  })
})

describe('the objective', () => {
  const size = 64
  // Two bins at a lag of 3 frames, weights 2 and 1: J(t) = 2 cos(w4 (t − 3)) + cos(w9 (t − 3)).
  const w = (k: number): number => (2 * Math.PI * k) / size
  const weighted = new Float64Array(2 * (size / 2 + 1))
  for (const [k, weight] of [
    [4, 2],
    [9, 1],
  ] as const) {
    weighted[2 * k] = weight * Math.cos(3 * w(k))
    weighted[2 * k + 1] = -weight * Math.sin(3 * w(k))
  }
  const objective = new LagObjective(weighted, size)

  test('has value, slope and curvature of its formula', () => {
    for (const lag of [-2, 0, 2.5, 3, 3.7]) {
      const d = lag - 3
      const { value, slope, curvature } = objective.at(lag)
      expect(value).toBeCloseTo(2 * Math.cos(w(4) * d) + Math.cos(w(9) * d), 12)
      expect(slope).toBeCloseTo(-2 * w(4) * Math.sin(w(4) * d) - w(9) * Math.sin(w(9) * d), 12)
      expect(curvature).toBeCloseTo(-2 * w(4) ** 2 * Math.cos(w(4) * d) - w(9) ** 2 * Math.cos(w(9) * d), 12)
    }
  })

  test('has its top where the lag is, for either sign', () => {
    expect(objective.top(2, 4, 1)).toBeCloseTo(3, 8)
    const turned = new LagObjective(
      weighted.map(value => -value),
      size,
    )
    expect(turned.top(2, 4, -1)).toBeCloseTo(3, 8)
  })

  test('neighbouring bins over many are as exact as single ones', () => {
    const many = new Float64Array(2 * 600)
    for (let k = 1; k < 600; k++) {
      many[2 * k] = Math.cos((2 * Math.PI * k * 1.25) / 1200)
      many[2 * k + 1] = -Math.sin((2 * Math.PI * k * 1.25) / 1200)
    }
    expect(new LagObjective(many, 1200).at(1.25).value).toBeCloseTo(599, 9)
    let direct = 0
    for (let k = 1; k < 600; k++) direct += Math.cos((2 * Math.PI * k * 2) / 1200)
    expect(new LagObjective(many, 1200).at(3.25).value).toBeCloseTo(direct, 9)
  })
})

describe('turning and smoothing', () => {
  test('a cross-spectrum turned by a lag', () => {
    const cross = new Float64Array(2 * 300)
    for (let k = 0; k < 300; k++) cross[2 * k] = 1
    const turned = turnedBy(cross, 2.5, 1024)
    for (const k of [0, 1, 7, 255, 256, 257, 299]) {
      expect(turned[2 * k]).toBeCloseTo(Math.cos((2 * Math.PI * k * 2.5) / 1024), 12)
      expect(turned[2 * k + 1]).toBeCloseTo(Math.sin((2 * Math.PI * k * 2.5) / 1024), 12)
    }
    const imaginary = turnedBy(Float64Array.of(0, 0, 0, 1), 256, 1024)
    expect([...imaginary.slice(2)]).toEqual([expect.closeTo(-1, 12), expect.closeTo(0, 12)])
  })

  test('a running mean whose width changes, cut at both ends; complex numbers part by part', () => {
    const half = Int32Array.of(1, 0, 1, 2)
    expect([...runningMean(Float64Array.of(1, 2, 3, 4), half)]).toEqual([1.5, 2, 3, 3])
    expect([...runningMean(Float64Array.of(1, 10, 2, 20, 3, 30, 4, 40), half, 2)]).toEqual([
      1.5, 15, 2, 20, 3, 30, 3, 30,
    ])
  })
})

describe('frames', () => {
  const grid = frameGrid({
    sampleRateHz: 1000,
    frames: 1000,
    fftSize: 128,
    hopsPerWindow: 3,
    folds: 8,
    blockSeconds: 1,
  })

  test('hang over both ends of the time, in parts of whole hops', () => {
    expect(grid).toMatchObject({ hop: 42, windowLength: 126, hops: 26, folds: 8, hopsPerBlock: 24 })
    expect([frameStart(grid, 0), frameStart(grid, 2)]).toEqual([-84, 0])
    expect(frameMiddleSeconds(grid, 2)).toBeCloseTo(0.063, 12)
    const segments = gridSegments(grid, 2)
    expect(segments.at(0)).toEqual({ fold: 0, firstHop: 0, endHop: 1 })
    expect(segments.at(-1)!.endHop).toBe(26)
    segments.slice(1).forEach((segment, i) => {
      expect(segment.firstHop).toBe(segments[i]!.endHop)
      expect(segment.endHop - segment.firstHop).toBeLessThanOrEqual(2)
    })
    expect(new Set(segments.map(({ fold }) => fold)).size).toBe(8)
  })

  test('of a sound shorter than a window: no more parts than hops', () => {
    const short = frameGrid({
      sampleRateHz: 1000,
      frames: 1,
      fftSize: 128,
      hopsPerWindow: 2,
      folds: 8,
      blockSeconds: 0.01,
    })
    expect(short).toMatchObject({ hop: 64, windowLength: 128, hops: 2, folds: 2, hopsPerBlock: 1 })
  })

  test('overlap as Welch has it', () => {
    // computed from the correlation of two Hann windows
    const direct = (shift: number): number => {
      const n = 4000
      let sum = 0
      let own = 0
      for (let i = 0; i < n; i++) {
        const at = (x: number): number => (x < 0 || x >= 1 ? 0 : 0.5 - 0.5 * Math.cos(2 * Math.PI * x))
        sum += at((i + 0.5) / n) * at((i + 0.5) / n + shift)
        own += at((i + 0.5) / n) ** 2
      }
      return sum / own
    }
    for (const shift of [0, 0.1, 1 / 3, 0.5, 0.9]) expect(hannOverlap(shift)).toBeCloseTo(direct(shift), 5)
    expect([hannOverlap(1), hannOverlap(2), hannOverlap(-0.5) - hannOverlap(0.5)]).toEqual([0, 0, 0])
    expect(independentShare(2)).toBeCloseTo(0.947, 3)
    expect(independentShare(3)).toBeCloseTo(0.6917, 4)
  })

  test('independent frames by their energies, at least one', () => {
    expect(independentFrames(Float64Array.of(4, 4, 10, 50, 0, 0, 1, 9), 0.5)).toEqual([2, 1, 1, 1])
    expect(independentFrames(Float64Array.of(12, 12), 0.5)).toEqual([6])
  })
})
