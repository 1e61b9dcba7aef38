import { describe, expect, test } from 'vitest'
import { refineArrival } from '../../../src/measure/pair/arrival.js'
import { loudSupport } from '../../../src/measure/pair/loud-support.js'
import { octaveCurve, octaveRival } from '../../../src/measure/pair/octave-rivals.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'
import { gaussian } from '../../corpus/random.js'

const SIZE = 8192
const RATE = 48000
const BINS = SIZE / 2 + 1
const FRAMES = 40
const RANGE = [-1900, 1900] as const

interface Sound {
  readonly lag: number
  readonly sign?: 1 | -1
  /** Power of the sound in the first trace and in the second, per bin. */
  readonly first: (hz: number) => number
  readonly second: (hz: number) => number
}

/** Sums of independent sounds, each with a lag of its own, exact phases: frames of noise through a plain delay. */
const sumsOf = (sounds: readonly Sound[], seed: string): PairSums => {
  const next = gaussian(seed)
  const sums = {
    sampleRateHz: RATE,
    fftSize: SIZE,
    windowLength: SIZE,
    first: new Float64Array(BINS),
    second: new Float64Array(BINS),
    cross: new Float64Array(2 * BINS),
    independent: [FRAMES, FRAMES, FRAMES],
    seconds: (FRAMES * SIZE) / RATE,
  }
  for (let k = 1; k < BINS - 1; k++) {
    const hz = (k * RATE) / SIZE
    for (let frame = 0; frame < FRAMES; frame++) {
      let [a, b, c, d] = [1e-6 * next(), 1e-6 * next(), 1e-6 * next(), 1e-6 * next()]
      for (const { lag, sign = 1, first, second } of sounds) {
        const [x, y] = [next(), next()]
        const angle = (-2 * Math.PI * k * lag) / SIZE
        const one = Math.sqrt(first(hz))
        const two = sign * Math.sqrt(second(hz))
        a += one * x
        b += one * y
        c += two * (x * Math.cos(angle) - y * Math.sin(angle))
        d += two * (x * Math.sin(angle) + y * Math.cos(angle))
      }
      sums.first[k] = sums.first[k]! + a * a + b * b
      sums.second[k] = sums.second[k]! + c * c + d * d
      sums.cross[2 * k] = sums.cross[2 * k]! + a * c + b * d
      sums.cross[2 * k + 1] = sums.cross[2 * k + 1]! + a * d - b * c
    }
  }
  return sums
}

/** Lines of three bins at every multiple of `hz`, falling by 6 dB per octave; nothing between them. */
const notes =
  (hz: number) =>
  (f: number): number =>
    Math.abs(f - hz * Math.round(f / hz)) < (1.6 * RATE) / SIZE ? 1e4 / (f * f) : 1e-9
const bright = (f: number): number => 1 / (1 + (f / 500) ** 2)

describe('rivals as the loud sound sees them', () => {
  test('a held note fits as well one period later: lines in exact multiples tell nothing else', () => {
    // 200 Hz: a period of 240 frames.
    const sums = sumsOf([{ lag: 0, first: notes(200), second: notes(200) }], 'held')
    const rival = octaveRival(sums, 0, 1, RANGE, 1)
    expect(rival.ratio).toBeGreaterThan(0.95)
    expect(rival.sign).toBe(1)
    expect(Math.abs(rival.excessSamples) % 240).toBeLessThan(3)
  })

  test('sound without a period has none', () => {
    const sums = sumsOf([{ lag: 30.4, sign: -1, first: bright, second: bright }], 'broad')
    for (const power of [0.5, 1] as const) {
      expect(octaveRival(sums, 30.4, -1, RANGE, power).ratio).toBeLessThan(0.6)
    }
  })

  test('a bleed that fills the gaps between partials is no rival, however many bins it has', () => {
    const faint = (): number => 1e-5
    const sums = sumsOf(
      [
        {
          lag: 10,
          first: f => notes(430)(f) + 0.01 * bright(f),
          second: f => notes(430)(f) + 0.01 * bright(f),
        },
        { lag: -600, first: faint, second: faint },
      ],
      'bleed',
    )
    const curve = octaveCurve(sums, 10, 1, RANGE, { power: 0.5, loud: false })
    expect(curve.ratioAt(-610)).toBeLessThan(0.4)
    expect(curve.ratioAt(0)).toBeCloseTo(1, 1)
  })
})

describe('how the loud octaves begin and end', () => {
  const loud = (f: number): number => (f < 700 ? 1 : 1e-7)
  const faint = (f: number): number => (f < 700 ? 1e-7 : 1e-4)

  test('supports the arrival of its own sound, either polarity', () => {
    for (const sign of [1, -1] as const) {
      const sums = sumsOf([{ lag: 25, sign, first: bright, second: bright }], `own ${sign}`)
      const { share, tiltDb, inPhase } = loudSupport(sums, refineArrival(sums, 25, sign), sign, ...RANGE)
      expect(share).toBeGreaterThan(0.97)
      expect(Math.abs(tiltDb)).toBeLessThan(3)
      // The octaves under 180 Hz, of the six that are loud here, do not count.
      expect(inPhase).toBeGreaterThan(0.4)
      expect(inPhase).toBeLessThanOrEqual(1)
    }
  })

  test('not that of a faint, bright bleed, which one track hears 20 dB louder than the other does', () => {
    const sums = sumsOf(
      [
        { lag: 1200, first: loud, second: loud },
        { lag: 0, first: faint, second: f => 100 * faint(f) },
      ],
      'two',
    )
    const { share, tiltDb, inPhase } = loudSupport(sums, refineArrival(sums, 0, 1), 1, ...RANGE)
    expect(share).toBeLessThan(0.8)
    expect(tiltDb).toBeGreaterThan(15)
    expect(tiltDb).toBeLessThan(25)
    expect(Math.abs(inPhase)).toBeLessThan(0.3)
  })
})
