import { describe, expect, test } from 'vitest'
import { mostAgreed } from '../../../src/measure/pair/loud-octaves.js'
import { estimatePair, type PairEstimate } from '../../../src/measure/pair/pair-estimate.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'

/**
 * A path with a direct sound and one reflection, without noise to speak of: `H = b + a e^(j theta)` about its stronger wavefront, theta even over
 * the band. What each figure should be is a mean over theta, worked out here. Coherence is smoothed over nine bins, and the teeth of the comb
 * are 34 bins apart, which takes up to 7 %.
 */
const RATE = 8000
const SIZE = 2048
const BINS = SIZE / 2 + 1
const WITHIN = 0.07

interface Path {
  readonly lag: number
  readonly factor: number
}

const sumsOf = (paths: readonly Path[], level: (hz: number) => number = () => 1, noise = 1e-3): PairSums => {
  const sums = {
    ...{ sampleRateHz: RATE, fftSize: SIZE, windowLength: SIZE, independent: [40, 40, 40] },
    first: new Float64Array(BINS),
    second: new Float64Array(BINS),
    cross: new Float64Array(2 * BINS),
    seconds: (40 * SIZE) / RATE,
  }
  for (let k = 1; k < BINS - 1; k++) {
    let re = 0
    let im = 0
    for (const { lag, factor } of paths) {
      re += factor * Math.cos((-2 * Math.PI * k * lag) / SIZE)
      im += factor * Math.sin((-2 * Math.PI * k * lag) / SIZE)
    }
    const power = level((k * RATE) / SIZE)
    sums.first[k] = power * (1 + noise)
    sums.second[k] = power * (re * re + im * im + noise)
    sums.cross[2 * k] = power * re
    sums.cross[2 * k + 1] = power * im
  }
  return sums
}

const estimated = (sums: PairSums): PairEstimate =>
  estimatePair({ sums, whole: sums, folds: [sums.cross], low: -300, high: 300 })!

/** Mean over theta of a figure of `H = 1 + a e^(j theta)`. */
const over = (a: number, figure: (re: number, im: number, theta: number) => number): number => {
  const steps = 4000
  let sum = 0
  for (let i = 0; i < steps; i++) {
    const theta = (2 * Math.PI * (i + 0.5)) / steps
    sum += figure(1 + a * Math.cos(theta), a * Math.sin(theta), theta)
  }
  return sum / steps
}
const back = (re: number, im: number, theta: number): number => re * Math.cos(theta) + im * Math.sin(theta)
const near = (found: number, expected: number): void => {
  expect(Math.abs(found / expected - 1)).toBeLessThan(WITHIN)
}

describe('a direct sound under its own louder reflection', () => {
  const a = 0.6
  const found = estimated(
    sumsOf([
      { lag: 40, factor: a },
      { lag: 100, factor: 1 },
    ]),
  )

  test('the stronger is the arrival, and what comes before it is told: where, and how strong', () => {
    expect(Math.abs(found.lagSamples - 100)).toBeLessThan(0.02)
    expect(found.sign).toBe(1)
    expect(found.earlier.excessSamples).toBe(-60)
    near(found.earlier.ratio, a)
    near(found.earlier.loudRatio, a)
    expect(found.earlier.prominence).toBeGreaterThan(10)
  })

  test('whatever the sound: what both hold of it is divided out', () => {
    const dark = sumsOf(
      [
        { lag: 40, factor: a },
        { lag: 100, factor: 1 },
      ],
      hz => 1 / (1 + hz / 500) ** 2,
    )
    near(estimated(dark).earlier.ratio, a)
    near(estimated(dark).earlier.loudRatio, a)
  })

  test('loud octaves see the other wavefront as what it is of the whitened sum', () => {
    const own = over(a, (re, im) => re / Math.hypot(re, im))
    const other = over(a, (re, im, theta) => back(re, im, theta) / Math.hypot(re, im))
    // The octave that says it loudest: one of few teeth says it louder than the mean.
    expect(found.loud.ratio).toBeGreaterThan(other / own)
    expect(found.loud.ratio).toBeLessThan(a)
    expect(Math.abs(found.loud.excessSamples + 60)).toBeLessThan(0.1)
    const rooted = (figure: (re: number, im: number, theta: number) => number): number =>
      over(a, (re, im, theta) => figure(re, im, theta) / Math.sqrt(Math.hypot(re, im)))
    near(found.octaveRival.ratio, rooted(back) / rooted(re => re))
    expect(found.octaveRival).toMatchObject({ excessSamples: -60, sign: 1 })
    near(found.partialsRival.ratio, a)
    expect(found.partialsRival.excessSamples).toBe(-60)
    expect(found.loud.toHz / found.loud.fromHz).toBeCloseTo(2, 1)
  })

  test('how the octaves line up there, by the roots of their sizes', () => {
    const value =
      over(a, (re, im) => re / Math.sqrt(Math.hypot(re, im))) /
      over(a, (re, im) => Math.sqrt(Math.hypot(re, im)))
    expect(found.octaves).toHaveLength(5)
    for (const octave of found.octaves) near(octave.value, value)
  })

  test('what the sum loses there, and at the other wavefront', () => {
    // Both brought to one level: the second by 1 / sqrt(1 + a²).
    const gain = 1 / Math.sqrt(1 + a * a)
    const inPhase = 1 + gain * over(a, (re, im) => Math.hypot(re, im))
    expect(Math.abs(found.arrivalLossDb - 10 * Math.log10(inPhase / (1 + gain)))).toBeLessThan(0.05)
    const [first, second] = found.fullness
    expect(Math.abs(first!.lagSamples - 100)).toBeLessThan(0.1)
    expect(Math.abs(second!.lagSamples - 40)).toBeLessThan(0.1)
    expect(second!.lossDb).toBeGreaterThan(first!.lossDb)
  })

  test('the reflection is the first rival', () => {
    expect(Math.abs(found.peaks[1]!.lagSamples - 40)).toBeLessThan(0.1)
    expect(found.peaks[1]!.sign).toBe(1)
    near(found.peaksLoudness[1]!, found.octaveRival.ratio)
    expect(found.peaksLoudness[0]).toBe(1)
  })
})

describe('a direct sound, the wrong way round, and a weaker reflection', () => {
  const found = estimated(
    sumsOf([
      { lag: 40, factor: -1 },
      { lag: 100, factor: 0.5 },
    ]),
  )

  test('nothing comes before it but the side lobe of its own band', () => {
    expect(Math.abs(found.lagSamples - 40)).toBeLessThan(0.02)
    expect(found.sign).toBe(-1)
    expect(found.earlier.ratio).toBeLessThan(0.22)
    expect(found.octaveRival).toMatchObject({ excessSamples: 60, sign: -1 })
    expect(found.peaks[1]).toMatchObject({ sign: 1 })
    expect(Math.abs(found.peaks[1]!.lagSamples - 100)).toBeLessThan(0.1)
  })
})

describe('an instrument in the low octaves, and a faint bleed that fills all the others, at another lag', () => {
  const loud = (hz: number): boolean => hz < 700
  const bleeding = (sign: 1 | -1, faint: number): PairSums => {
    const own = sumsOf([{ lag: 60, factor: sign }], hz => (loud(hz) ? 1 : 0), 1e-6)
    const other = sumsOf([{ lag: -20, factor: 1 }], hz => (loud(hz) ? 0 : faint), 1e-6)
    const both = (a: Float64Array, b: Float64Array): Float64Array => a.map((v, k) => v + b[k]!)
    return {
      ...own,
      first: both(own.first, other.first),
      second: both(own.second, other.second),
      cross: both(own.cross, other.cross),
    }
  }

  test('the loud octaves agree most at their own lag, wholly and either way round', () => {
    for (const sign of [1, -1] as const) {
      const { lagSamples, agreement } = mostAgreed(bleeding(sign, 1e-4), -300, 300)
      expect(lagSamples).toBe(60)
      // The octave at 500 Hz has a bin or two of the other.
      expect(agreement).toBeCloseTo(1, 3)
    }
    expect(mostAgreed(bleeding(1, 1e-4), -300, 50).lagSamples).toBeLessThanOrEqual(50)
    expect(
      mostAgreed(
        sumsOf([], () => 0),
        -300,
        300,
      ),
    ).toEqual({ lagSamples: 0, agreement: 0 })
  })

  test('the lag is that of the instrument, whatever the many faint bins say', () => {
    for (const sign of [1, -1] as const) {
      const found = estimated(bleeding(sign, 1e-4))
      // Within a frame: what is left of the other sound pulls.
      expect(Math.abs(found.lagSamples - 60)).toBeLessThan(1)
      expect(found.sign).toBe(sign)
      // What the faint bins say is its first rival.
      expect(found.peaks.slice(1).some(({ lagSamples }) => Math.abs(lagSamples + 20) < 1)).toBe(true)
    }
  })

  test('where the bleed is as loud, the many bins have it', () => {
    const found = estimated(bleeding(1, 1))
    expect(Math.abs(found.lagSamples + 20)).toBeLessThan(0.1)
    expect(found.sign).toBe(1)
  })
})

describe('the band that two share', () => {
  test('its width and middle, its heard edge, and halves that hold as many votes each', () => {
    // Half the sound of one is not in the other above 1 kHz: γ² falls from nearly 1 to a tenth.
    const sums = sumsOf([{ lag: -30.4, factor: 0.7 }])
    for (let k = 257; k < BINS - 1; k++) {
      sums.second[k] = sums.second[k]! * 10
    }
    const found = estimated(sums)
    expect(Math.abs(found.lagSamples + 30.4)).toBeLessThan(0.02)
    // |γ|: 1 below 1 kHz, 0.3162 above, less where chance is taken off.
    expect(Math.abs(found.commonHz / (1000 + 3000 * Math.sqrt(0.1)) - 1)).toBeLessThan(0.06)
    const middle = (1000 * 500 + 3000 * Math.sqrt(0.1) * 2500) / (1000 + 3000 * Math.sqrt(0.1))
    expect(Math.abs(found.middleHz / middle - 1)).toBeLessThan(0.06)
    const [lower, upper] = found.halves
    expect(lower!.toHz).toBeLessThan(1000)
    expect(upper!.fromHz).toBeGreaterThan(900)
    for (const half of found.halves) expect(half.agreement).toBeGreaterThan(0.99)
    // Of the second trace a tenth of 30 parts in 31 is common.
    expect(Math.abs(found.commonEnergy - (1 + 3) / 31)).toBeLessThan(0.02)
  })

  test('ends where no more of it is heard', () => {
    const dull = estimated(sumsOf([{ lag: 12, factor: 1 }], hz => (hz < 1000 ? 1 : 1e-7)))
    expect(dull.heardToHz).toBeGreaterThanOrEqual(1000)
    expect(dull.heardToHz).toBeLessThan(1500)
  })
})
