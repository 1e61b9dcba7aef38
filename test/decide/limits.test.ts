import { describe, expect, test } from 'vitest'
import { decide } from '../../src/decide/decide.js'
import { lagKnots, valueAt } from '../../src/decide/follow.js'
import { fullerPolarity } from '../../src/decide/fuller-polarity.js'
import type { Candidate, Polarity } from '../../src/measure/measurement.js'
import {
  blend,
  file,
  group,
  inner,
  partOf,
  planOf,
  RATE,
  song,
  sourceOf,
  stemOf,
  surveyOf,
} from './setting/song.js'

/* Values at and just beside a limit: a limit that moved would show here (found by `npm run mutants`). */

const at = (lagSamples: number, polarity: Polarity): Candidate => ({
  aim: 'arrival',
  lagSamples,
  polarity,
  score: 0.5,
})

describe('the polarity that sums fuller', () => {
  const told = (lag: number, ...positions: Candidate[]) => fullerPolarity(lag, positions, ['arrival'])

  test('a lag belongs to the nearest position, counted from where it is', () => {
    expect(told(90, at(100, 'inverted'), at(-80, 'normal'))).toBe('inverted')
    expect(told(-90, at(100, 'inverted'), at(-80, 'normal'))).toBe('normal')
  })

  test('reaches half the way to the next position of the other polarity, and no further', () => {
    expect(told(90, at(100, 'normal'), at(120, 'inverted'))).toBe('normal')
    expect(told(89.9, at(100, 'normal'), at(120, 'inverted'))).toBeNull()
    expect(told(101, at(100, 'normal'))).toBe('normal')
    expect(told(101.1, at(100, 'normal'))).toBeNull()
  })
})

describe('knots of steps', () => {
  const measured = {
    lagSamples: 10,
    drift: null,
    lagOverTime: null,
    frames: 100 * RATE,
    startOffsetSamples: 0,
  }
  const knotsOf = (steps: readonly (readonly [number, number, number])[], lagSamples = 10) =>
    lagKnots({
      follow: 'steps',
      lagSamples,
      measured: {
        ...measured,
        steps: steps.map(([atSeconds, fromLagSamples, toLagSamples]) => ({
          atSeconds,
          fromLagSamples,
          toLagSamples,
        })),
      },
      sampleRateHz: RATE,
      stepSeconds: null,
    })!

  test('without quiet places a step is followed where it was measured, in the time of the source', () => {
    // 14.4 frames at 0.3 % of 48 kHz: 0.1 s; 10 frames late: 0.208 ms later in its own time
    const [from, to] = knotsOf([[20, 0, 14.4]])
    expect(from?.atSeconds).toBeCloseTo(20 - 0.05 + 10 / RATE, 12)
    expect(to?.atSeconds).toBeCloseTo(20 + 0.05 + 10 / RATE, 12)
    expect([from?.samples, to?.samples]).toEqual([0, 14.4])
  })

  test('slews that would meet share the time between their steps, and no two knots have one time', () => {
    const knots = knotsOf([
      [20, 0, 14.4],
      [20.04, 14.4, 0],
    ])
    expect(knots.map(({ atSeconds }) => atSeconds - 10 / RATE)).toEqual([
      expect.closeTo(19.95, 9),
      expect.closeTo(20.02, 9),
      expect.closeTo(20.09, 9),
    ])
    expect(knots.map(({ samples }) => samples)).toEqual([0, 14.4, 0])
    const times = knots.map(({ atSeconds }) => atSeconds)
    expect(new Set(times).size).toBe(times.length)
  })

  test('another aim moves the whole curve', () => {
    expect(knotsOf([[20, 0, 14.4]], 12).map(({ samples }) => samples)).toEqual([2, expect.closeTo(16.4, 12)])
  })

  test('a curve is level outside its knots and straight between', () => {
    const curve = [
      { atSeconds: 1, samples: 4 },
      { atSeconds: 3, samples: 8 },
    ]
    expect([0, 1, 1.5, 3, 9].map(seconds => valueAt(curve, seconds))).toEqual([4, 4, 5, 8, 8])
  })
})

describe('what the bound on a peak allows for', () => {
  // Two parts at −7.1 dBTP: −1.08 dBTP together. With the margin of a meter that is above −1, without it is not.
  const asked = async (sampleRateHz: number, truePeakDbtp: number) => {
    const peaks = { truePeakDbtp, samplePeakDbfs: truePeakDbtp - 0.2, lagSamples: 0.5 }
    const facts = { facts: { sampleRateHz } }
    const survey = surveyOf()
    await planOf(
      [
        group('g', [file('a', { ...peaks, lagSamples: 0 }, facts), file('b', peaks, facts)], {
          sampleRateHz,
          blends: [blend('mix', { a: '0 dB', b: '0 dB' }, { match: 'none' })],
        }),
      ],
      {},
      survey,
    )
    return survey.asked.filter(name => name !== 'heads')
  }

  test('0.7 dB up to 48 kHz, 3.1 dB from 88.2 kHz on', async () => {
    expect(await asked(48000, -7.1)).toEqual(['lantern_street_mix.wav'])
    expect(await asked(48000, -7.8)).toEqual([])
    expect(await asked(96000, -9.4)).toEqual(['lantern_street_mix.wav'])
    expect(await asked(88200, -9.4)).toEqual(['lantern_street_mix.wav'])
    expect(await asked(96000, -10.2)).toEqual([])
  })
})

describe('words that hold every value', () => {
  const ditherOf = async (source: ReturnType<typeof file>, depth: 24 | 32) =>
    stemOf(await planOf([group('g', [file('ref'), source])], { depth }), 'g_a').dither

  test('no integer holds a float; channels that are not added need no more bits', async () => {
    expect(await ditherOf(file('a', { bitDepth: 32 }, { facts: { sampleFormat: 'float' } }), 32)).toBe(true)
    expect(await ditherOf(file('a', { bitDepth: 24, channels: 2 }), 24)).toBe(false)
  })
})

describe('what an earlier delivery settled', () => {
  test('stands source by source; what it did not know is taken from now', async () => {
    const { session, measurement } = song([
      group('g', [file('a', { loudnessLufs: -20 }), file('b', { loudnessLufs: -23, rmsDbfs: -25 })], {
        blends: [blend('mix', { a: 50, b: 50 }), blend('by-rms', { a: 50, b: 50 }, { match: 'rms' })],
      }),
    ])
    const matchOf = async (loudnessDb: number | null, rmsDb: number | null) => {
      const levels = new Map([['g/b', { loudnessDb, rmsDb }]])
      const plan = await decide(session, measurement, surveyOf(), { levels, turnDownDb: 0 })
      return ['mix', 'by-rms'].map(name => partOf(plan, name, 'g/b').matchGainDb)
    }
    expect(await matchOf(7, 1)).toEqual([7, 1])
    expect(await matchOf(null, null)).toEqual([3, 3])
  })
})

describe('groups inside groups', () => {
  const kick = group('kick', [file('in'), file('out', { lagSamples: 30 })], {
    align: { hold: 'latest' },
    blends: [blend('kick', { in: 50, out: 50 })],
  })

  test('a group that waited is waited for no further where it is the reference', async () => {
    const plan = await planOf([
      kick,
      group('kit', [inner('kick', 'kick'), file('top', { lagSamples: 50 })], { align: { hold: 'latest' } }),
    ])
    // In itself the kick waits 30 frames for its outer microphone; the top is 50 late: 20 more.
    expect(sourceOf(plan, 'kick/in').move.shiftSamples).toBe(50)
    expect(sourceOf(plan, 'kick/out').move.shiftSamples).toBe(20)
    expect(sourceOf(plan, 'kit/top').move.shiftSamples).toBe(0)
  })

  test('delivered by name it is an aligned blend; as recorded it is left inside as it was', async () => {
    const kit = group('kit', [file('top'), inner('kick', 'kick')], {
      blends: [blend('raw', { top: 50, kick: 50 }, { aligned: false })],
    })
    const plan = await planOf([kick, kit], { stems: [{ group: 'kit', source: 'kick' }] })
    expect(stemOf(plan, 'kit_kick')).toMatchObject({ kind: 'blend', aligned: true })
    expect(partOf(plan, 'raw', 'kick/in').atSamples).toBe(0)
    expect(partOf(plan, 'raw', 'kick/out').atSamples).toBe(0)
  })

  test('delivered by name it is lined up, also where its own blend is as recorded', async () => {
    const raw = group('kick', [file('in'), file('out', { lagSamples: 30 })], {
      blends: [blend('kick', { in: 50, out: 50 }, { aligned: false })],
    })
    const kit = group('kit', [file('top'), inner('kick', 'kick')])
    const plan = await planOf([raw, kit], { stems: [{ group: 'kit', source: 'kick' }] })
    expect(stemOf(plan, 'kit_kick').parts.map(({ atSamples }) => atSamples)).toEqual([0, -30])
    expect(stemOf(plan, 'kick').parts.map(({ atSamples }) => atSamples)).toEqual([0, 0])
  })

  test('steps of a group are looked for in the file of its reference', async () => {
    const survey = surveyOf()
    const files: string[] = []
    survey.quietSpots = stretches => {
      files.push(...stretches.map(stretch => stretch.file))
      return Promise.resolve(stretches.map(({ startSeconds }) => startSeconds))
    }
    const steps = [{ atSeconds: 4, fromLagSamples: 0, toLagSamples: 5 }]
    const turned = group('kick', [file('out', { lagSamples: 3 }), file('in')])
    const named = {
      ...turned,
      group: { ...turned.group, reference: 'in' },
      measured: { ...turned.measured, reference: 'in' },
    }
    await planOf(
      [named, group('kit', [file('top'), inner('kick', 'kick', { steps })], { align: { follow: 'steps' } })],
      {},
      survey,
    )
    expect(files).toEqual(['/takes/in.wav'])
    const none = surveyOf()
    await planOf([group('kit', [file('top'), file('b')], { align: { follow: 'steps' } })], {}, none)
    expect(none.asked).toEqual([])
  })
})

describe('the end of the stems', () => {
  test('is where a followed file ends, by its last shift', async () => {
    // 20 ppm over 100 s: 96 frames; the line goes through the middle, and the source ends 48 frames later than told.
    const drifting = { frames: 100 * RATE, lagSamples: -100, drift: { ppm: -20, uncertaintyPpm: 0.1 } }
    const plan = await planOf([
      group('g', [file('a', { frames: 90 * RATE }), file('b', drifting)], { align: { follow: 'drift' } }),
    ])
    const last = sourceOf(plan, 'g/b').move.follow!.at(-1)!.shiftSamples
    expect(last).toBeCloseTo(100 + 48, 1)
    expect(plan.stems[0]?.frames).toBe(100 * RATE + Math.ceil(last))
  })
})
