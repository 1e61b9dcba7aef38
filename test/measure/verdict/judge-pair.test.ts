import { describe, expect, test } from 'vitest'
import type { PairEstimate } from '../../../src/measure/pair/pair-estimate.js'
import { judgePair } from '../../../src/measure/verdict/judge-pair.js'

/*
 * Every rule by itself: an estimate that is sure of everything, and one figure of it changed to just within its limit and to just beyond
 * (found by `npm run mutants`). Whether the limits are the right ones is asked of made and recorded sounds elsewhere.
 */

const RATE = 48000
const SEARCH = 1920

const sure = {
  lagSamples: 0.4,
  sign: 1,
  uncertaintySamples: 0.05,
  spreadSamples: 2,
  commonEnergy: 0.8,
  commonHz: 4000,
  middleHz: 1500,
  score: 0.9,
  prominence: 40,
  peaks: [{ lagSamples: 0.4, sign: 1, mass: 100, score: 0.9 }],
  peaksLoudness: [1],
  halves: [{ fromHz: 100, toHz: 1000, agreement: 1, excessSamples: 0, sign: 1, energyShare: 0.5 }],
  earlier: { ratio: 0, excessSamples: 0, prominence: 0, loudRatio: 0 },
  loud: { ratio: 0.5, excessSamples: 0, fromHz: 250, toHz: 500 },
  octaves: [
    { middleHz: 250, value: 0.8 },
    { middleHz: 500, value: 0.8 },
    { middleHz: 1000, value: 0.8 },
  ],
  support: { share: 1, tiltDb: 0, heldShare: 0.2, inPhase: 0 },
  heardToHz: 8000,
  fullness: [{ lagSamples: 0.4, sign: 1, lossDb: 0.5 }],
  arrivalLossDb: 0.5,
  octaveRival: { ratio: 0.2, excessSamples: 300, sign: 1 },
  partialsRival: { ratio: 0.2, excessSamples: 400, sign: 1 },
  foldShare: 1,
} as const

type Change = Partial<Record<keyof typeof sure, unknown>>

const judged = (
  change: Change,
  pair: { shiftSamples?: number; beyondSamples?: number; copySamples?: number | null } = {},
) =>
  judgePair(
    {
      estimate: { ...sure, ...change } as unknown as PairEstimate,
      shiftSamples: pair.shiftSamples ?? 96,
      beyondSamples: pair.beyondSamples ?? null,
      ...(pair.copySamples === undefined ? {} : { copySamples: pair.copySamples }),
    },
    { sampleRateHz: RATE, searchSamples: SEARCH },
  )
const verdicts = (...args: Parameters<typeof judged>) => {
  const { lag, polarity } = judged(...args)
  return `${lag} ${polarity}`
}

const SURE = 'sure sure'
const LAG = 'unsure sure'
const BOTH = 'unsure unsure'
const UNKNOWN = 'unknown unknown'

test('nothing against it: sure, and no reason', () => {
  expect(judged({})).toEqual({ lag: 'sure', polarity: 'sure', reason: null })
  expect(judged({}, { copySamples: null })).toEqual({ lag: 'sure', polarity: 'sure', reason: null })
})

test('nothing measured: unknown', () => {
  const pair = { estimate: null, shiftSamples: 0, beyondSamples: null }
  expect(judgePair(pair, { sampleRateHz: RATE, searchSamples: SEARCH })).toMatchObject({
    lag: 'unknown',
    polarity: 'unknown',
    reason: expect.stringContaining('no more sound with the reference than two unrelated tracks') as string,
  })
})

describe('unknown', () => {
  test.each<[string, Change, string]>([
    ['score', { score: 0.15 }, BOTH],
    ['score', { score: 0.149 }, UNKNOWN],
    ['prominence', { score: 0.4, prominence: 7 }, BOTH],
    ['prominence', { score: 0.4, prominence: 6.9 }, UNKNOWN],
    ['a low peak that is clear', { score: 0.5, prominence: 6.9 }, BOTH],
    ['common energy', { commonEnergy: 0.002 }, BOTH],
    ['common energy', { commonEnergy: 0.0019 }, UNKNOWN],
  ])('%s %j: %s', (_, change, expected) => {
    expect(verdicts(change)).toBe(expected)
  })

  test('a lag beyond the search, told with its sign', () => {
    expect(judged({}, { beyondSamples: 2400 }).reason).toMatch(/^a lag of 50\.0 ms, beyond the search/)
    expect(judged({}, { beyondSamples: -2400 }).reason).toMatch(/^a lag of minus 50\.0 ms, beyond the search/)
    expect(verdicts({}, { beyondSamples: 2400 })).toBe(UNKNOWN)
  })

  test('at the edge of the search, by a cycle of what is shared, at most a fiftieth of the search', () => {
    // 1500 Hz: 32 frames
    expect(verdicts({ lagSamples: 0 }, { shiftSamples: SEARCH - 32 })).toBe(SURE)
    expect(verdicts({ lagSamples: 0.1 }, { shiftSamples: SEARCH - 32 })).toBe(UNKNOWN)
    expect(verdicts({ lagSamples: -0.1 }, { shiftSamples: -(SEARCH - 32) })).toBe(UNKNOWN)
    // 100 Hz would be 480 frames: 38.4
    expect(verdicts({ lagSamples: 0, middleHz: 100 }, { shiftSamples: SEARCH - 39 })).toBe(SURE)
    expect(verdicts({ lagSamples: 0, middleHz: 100 }, { shiftSamples: SEARCH - 38 })).toBe(UNKNOWN)
    expect(judged({}, { shiftSamples: SEARCH }).reason).toContain('edge of the search of 40.0 ms')
    // The least is one frame.
    expect(verdicts({ lagSamples: 0, middleHz: 1e9 }, { shiftSamples: SEARCH - 1 })).toBe(SURE)
    expect(verdicts({ lagSamples: 0.5, middleHz: 1e9 }, { shiftSamples: SEARCH - 1 })).toBe(UNKNOWN)
  })
})

describe('rivals', () => {
  const rival = (mass: number, away: number, sign: 1 | -1, loudness = 1): Change => ({
    peaks: [...sure.peaks, { lagSamples: 0.4 + away, sign, mass, score: 0.8 }],
    peaksLoudness: [1, loudness],
  })

  test.each<[string, Change, string]>([
    ['lower', rival(79.9, 480, 1), SURE],
    ['as high', rival(80, 480, 1), LAG],
    ['as high, of the other sign', rival(80, 480, -1), BOTH],
    ['a bleed', rival(99, 480, 1, 0.59), SURE],
    ['no bleed', rival(99, 480, 1, 0.6), LAG],
    ['within the spread of the path', rival(99, 1.9, 1), SURE],
    ['beyond the spread', rival(99, 2, 1), LAG],
    ['within the spread, of the other sign', rival(99, 1.9, -1), BOTH],
    [
      'within a wide spread, but a tenth of a millisecond away',
      { ...rival(99, -4.9, 1), spreadSamples: 9 },
      LAG,
    ],
    ['within a wide spread, and near', { ...rival(99, -4.7, 1), spreadSamples: 9 }, SURE],
    ['no peaks at all', { peaks: [] }, SURE],
  ])('%s', (_, change, expected) => {
    expect(verdicts(change)).toBe(expected)
  })

  test('are told with where they are', () => {
    expect(judged(rival(90, 480, 1)).reason).toMatch(/^a lag 10\.0 ms later fits nearly as well/)
    expect(judged(rival(90, -24, 1)).reason).toMatch(/^a lag 0\.50 ms earlier fits nearly as well/)
    expect(judged(rival(90, 480, -1)).reason).toMatch(/^the opposite polarity 10\.0 ms later fits/)
  })

  const loudRivals = (loud: number, partials: number, sign: 1 | -1 = 1): Change => ({
    octaveRival: { ratio: loud, excessSamples: 300, sign },
    partialsRival: { ratio: partials, excessSamples: -480, sign },
  })

  test.each<[string, Change, string]>([
    ['the loud sound', loudRivals(0.8, 0), SURE],
    ['the loud sound', loudRivals(0.81, 0), LAG],
    ['the loud sound, other sign', loudRivals(0.81, 0, -1), BOTH],
    ['partials', loudRivals(0.71, 0.95), SURE],
    ['partials', loudRivals(0.7, 0.96), SURE],
    ['partials', loudRivals(0.71, 0.96), LAG],
    ['partials, other sign', loudRivals(0.71, 0.96, -1), BOTH],
  ])('that only %s sees: %j', (_, change, expected) => {
    expect(verdicts(change)).toBe(expected)
  })

  test('of the loud sound first, then of its partials', () => {
    expect(judged(loudRivals(0.81, 0.99)).reason).toMatch(/^a lag 6\.3 ms later/)
    expect(judged(loudRivals(0.75, 0.99)).reason).toMatch(/^a lag 10\.0 ms earlier/)
  })

  test('a second copy of the sound', () => {
    const copy = judged({}, { copySamples: 96.4 + 480 })
    expect(copy).toMatchObject({ lag: 'unsure', polarity: 'unsure' })
    expect(copy.reason).toMatch(/^a second copy of the sound lies 10\.0 ms later/)
    expect(judged({}, { copySamples: 96.4 - 480 }).reason).toMatch(/lies 10\.0 ms earlier/)
  })
})

describe('unsure', () => {
  const octaves = (...values: number[]): Change => ({
    octaves: values.map((value, i) => ({ middleHz: 250 * 2 ** i, value })),
  })
  const half = (agreement: number, energyShare: number): Change => ({
    halves: [sure.halves[0], { ...sure.halves[0], fromHz: 1000, toHz: 4000, agreement, energyShare }],
  })
  const earlier = (ratio: number, prominence: number, loudRatio: number): Change => ({
    earlier: { ratio, prominence, loudRatio, excessSamples: -96 },
  })
  const support = (share: number, tiltDb: number, heldShare = 0.1, inPhase = 0): Change => ({
    support: { share, tiltDb, heldShare, inPhase },
  })
  const held = (inPhase: number, loudRatio: number, partialsRatio: number): Change => ({
    ...support(0.79, -5, 0.6, inPhase),
    octaveRival: { ratio: loudRatio, excessSamples: 300, sign: 1 },
    partialsRival: { ratio: partialsRatio, excessSamples: 400, sign: 1 },
  })
  const lowEnd = (heardToHz: number, arrivalLossDb: number): Change => ({ heardToHz, arrivalLossDb })

  test.each<[string, Change, string]>([
    ['loud octaves elsewhere', { loud: { ...sure.loud, ratio: 2 } }, SURE],
    ['loud octaves elsewhere', { loud: { ...sure.loud, ratio: 2.01 } }, BOTH],
    ['an octave against', octaves(0.9, 0.9, -0.2), SURE],
    ['an octave against', octaves(0.9, 0.9, -0.21), BOTH],
    ['octaves from 500 Hz on', octaves(1, 0.19, 0.21), SURE],
    ['octaves from 500 Hz on', octaves(1, 0.19, 0.2), BOTH],
    ['octaves beside the score', octaves(0.4, 0.4, 0.42), SURE],
    ['octaves beside the score', octaves(0.4, 0.4, 0.4), BOTH],
    ['half of the band', half(0.6, 0.5), SURE],
    ['half of the band', half(0.59, 0.5), BOTH],
    ['half of the band with little in it', half(0.1, 0.02), SURE],
    ['half of the band with more in it', half(0.1, 0.021), BOTH],
    ['earlier sound', earlier(0.43, 8.1, 0.34), BOTH],
    ['earlier sound, low', earlier(0.42, 8.1, 0.34), SURE],
    ['earlier sound, hardly there', earlier(0.43, 8, 0.34), SURE],
    ['earlier sound, not in the loud octaves', earlier(0.43, 8.1, 0.33), SURE],
    ['support', support(0.85, 0.1), SURE],
    ['support', support(0.84, 0.1), BOTH],
    ['support without a tilt', support(0.84, 0), SURE],
    ['support without a tilt', support(0.6, -5), SURE],
    ['support without a tilt', support(0.59, -5), BOTH],
    ['support over 8 dB', support(0.92, 8.1), SURE],
    ['support over 8 dB', support(0.91, 8.1), BOTH],
    ['support at 8 dB', support(0.91, 8), SURE],
    ['support over 9 dB', support(0.96, 9), SURE],
    ['support over 9 dB', support(0.96, 9.1), BOTH],
    ['support over 13 dB', support(0.99, 13), SURE],
    ['support over 13 dB', support(0.99, 13.1), BOTH],
    ['support, tilted the other way', support(0.91, -8), SURE],
    ['support, tilted the other way', support(0.91, -8.1), BOTH],
    // half of what it could stand out at least: 0.6 + 0.5 * 0.4
    ['held notes', support(0.81, -5, 0.6), SURE],
    ['held notes', support(0.79, -5, 0.6), BOTH],
    ['held notes in phase', held(0.34, 0.64, 0.87), SURE],
    ['held notes hardly in phase', held(0.33, 0.64, 0.87), BOTH],
    ['held notes in phase, and elsewhere', held(0.34, 0.65, 0.87), BOTH],
    ['held notes in phase, their partials elsewhere', held(0.34, 0.64, 0.88), BOTH],
    ['a low end that sums fuller elsewhere', lowEnd(1499, 1.51), BOTH],
    ['a low end that sums little fuller elsewhere', lowEnd(1499, 1.5), SURE],
    ['more than a low end', lowEnd(1500, 9), SURE],
    ['a low end of which no fuller place is known', { ...lowEnd(500, 9), fullness: [] }, SURE],
    ['earlier sound, high', earlier(0.71, 0, 0.51), BOTH],
    ['earlier sound, hardly high', earlier(0.7, 0, 0.51), SURE],
    ['earlier sound, high, but not in the loud octaves', earlier(0.71, 0, 0.5), SURE],
    ['a narrow band', { commonHz: 60 }, SURE],
    ['a narrow band', { commonHz: 59 }, BOTH],
    ['a weak match', { score: 0.3 }, SURE],
    ['a weak match', { score: 0.29 }, BOTH],
    ['a low peak', { prominence: 9 }, SURE],
    ['a low peak', { prominence: 8.9 }, BOTH],
    ['little energy in common', { commonEnergy: 0.12 }, SURE],
    ['little energy in common', { commonEnergy: 0.119 }, BOTH],
    ['parts that contradict', { foldShare: 0.8 }, SURE],
    ['parts that contradict', { foldShare: 0.79 }, BOTH],
    ['a lag that is hardly known', { uncertaintySamples: 4 }, SURE],
    ['a lag that is hardly known', { uncertaintySamples: 4.1 }, LAG],
  ])('%s %j: %s', (_, change, expected) => {
    expect(verdicts(change)).toBe(expected)
  })

  test.each<[Change, RegExp]>([
    [
      { loud: { ratio: 3, excessSamples: -48, fromHz: 354, toHz: 1414 } },
      /^the loud band from 354 Hz to 1\.4 kHz lines up 1\.0 ms earlier:/,
    ],
    [octaves(0.9, 0.9, -0.5), /^the band from 707 Hz to 1\.4 kHz asks for another lag/],
    [octaves(0.1, 0.1, 0.1), /^the loud notes do not line up/],
    [half(0.1, 0.5), /^the band from 1\.0 kHz to 4\.0 kHz asks/],
    [earlier(0.9, 9, 0.9), /^there is sound 2\.0 ms before the best match/],
    [support(0.5, 1), /^the loud notes do not line up/],
    [lowEnd(500, 9), /^the band from 100 Hz to 500 Hz asks/],
    [lowEnd(1400, 9), /^the band from 100 Hz to 1\.0 kHz asks/],
    [{ commonHz: 10, middleHz: 110 }, /^both share only a narrow band around 110 Hz/],
    [{ prominence: 8 }, /^the match is weak/],
    [{ commonEnergy: 0.1 }, /^only 10\.0 % of the energy is common to both/],
    [{ foldShare: 0.5 }, /^parts of the take contradict each other/],
    [{ uncertaintySamples: 24 }, /^the lag is only known to 0\.50 ms/],
  ])('is told: %j', (change, reason) => {
    expect(judged(change).reason).toMatch(reason)
  })

  test('the worst verdict counts, the first reason is told', () => {
    const both = judged({ score: 0.1, foldShare: 0.1 })
    expect(both).toMatchObject({ lag: 'unknown', polarity: 'unknown' })
    expect(both.reason).toContain('two unrelated tracks')
  })
})
