import { describe, expect, test } from 'vitest'
import { addedKnots, LARGEST_BEND, valueAt } from '../../src/decide/follow.js'
import { file, group, inner, partOf, planOf, RATE, sourceOf, surveyOf } from './setting/song.js'

const drifting = { frames: 600 * RATE, lagSamples: 100, drift: { ppm: 20, uncertaintyPpm: 0.1 } }
const a = file('a', { frames: 600 * RATE })

describe('follow: drift', () => {
  test('the shift is the line through the mean lag, in the time of the source', async () => {
    const plan = await planOf([group('g', [a, file('b', drifting)], { align: { follow: 'drift' } })])
    // 20 ppm over 600 s: 576 frames, from the middle 288 either way; in its own time the source is 20 ppm longer
    const { follow, shiftSamples } = sourceOf(plan, 'g/b').move
    expect(shiftSamples).toBe(-100)
    expect(follow?.map(knot => knot.atSeconds)).toEqual([0, 600])
    expect(follow?.[0]?.shiftSamples).toBeCloseTo(-100 + 288 / 1.00002, 9)
    expect(follow?.[1]?.shiftSamples).toBeCloseTo(-100 - 288 / 1.00002, 9)
    expect(partOf(plan, 'g_b', 'g/b').follow).toEqual(follow)
    expect(plan.stems[0]?.frames).toBe(600 * RATE) // the end is pulled forward, the reference is the longest
    expect(sourceOf(plan, 'g/b').move.because).toContain('drift followed')
  })

  test('with the lag over time known, the line goes through its weighted mean, wherever the one lag was told', async () => {
    // The lag told is 100 at the first sound, 0.96 frames more every second: 196 at 100 s, 388 at 300 s.
    const lagOverTime = [
      { atSeconds: 100, lagSamples: 196, uncertaintySamples: 0.1 },
      { atSeconds: 300, lagSamples: 388, uncertaintySamples: 0.2 },
    ]
    const plan = await planOf([
      group('g', [a, file('b', { ...drifting, lagOverTime })], { align: { follow: 'drift' } }),
    ])
    // Weights 100 and 25: 234.4 frames at 140 s of the reference, and 100 at its start.
    const { follow } = sourceOf(plan, 'g/b').move
    const own = (frame: number): number => 100 + (2e-5 * (frame - 100)) / 1.00002
    expect(follow?.[0]?.shiftSamples).toBeCloseTo(-own(0), 6)
    expect(follow?.[1]?.shiftSamples).toBeCloseTo(-own(600 * RATE), 6)
  })

  test('not asked for, not seen, or not measured: no knots', async () => {
    const followOf = async (source: ReturnType<typeof file>, follow: 'nothing' | 'drift' | 'steps') =>
      sourceOf(await planOf([group('g', [a, source], { align: { follow } })]), 'g/b').move.follow
    expect(await followOf(file('b', drifting), 'nothing')).toBeNull()
    expect(await followOf(file('b', { ...drifting, drift: null }), 'drift')).toBeNull()
    expect(await followOf(file('b', drifting), 'steps')).toBeNull()
    expect(await followOf(file('b', drifting, { lag: { samples: 100 } }), 'drift')).toBeNull()
  })

  test('hold: latest waits for the latest moment', async () => {
    const align = { follow: 'drift', hold: 'latest' } as const
    const plan = await planOf([group('g', [a, file('b', drifting)], { align })])
    expect(sourceOf(plan, 'g/a').move.shiftSamples).toBeCloseTo(100 + 288 / 1.00002, 9)
    expect(sourceOf(plan, 'g/b').move.follow?.[1]?.shiftSamples).toBeCloseTo(0, 9)
  })
})

describe('follow: steps', () => {
  const steps = [
    { atSeconds: 92.4, fromLagSamples: 95.3, toLagSamples: 109.7 },
    { atSeconds: 200, fromLagSamples: 109.7, toLagSamples: 95.3 },
  ]
  const stepped = file('b', { frames: 600 * RATE, lagSamples: 100, steps })

  test('levels, joined by slews that bend the pitch by no more than the bound', async () => {
    const plan = await planOf([group('g', [a, stepped], { align: { follow: 'steps' } })])
    const follow = sourceOf(plan, 'g/b').move.follow!
    expect(follow.map(knot => knot.shiftSamples)).toEqual([-95.3, -109.7, -109.7, -95.3])
    const [start, end] = [follow[0]!, follow[1]!]
    const bend = Math.abs(end.shiftSamples - start.shiftSamples) / ((end.atSeconds - start.atSeconds) * RATE)
    expect(bend).toBeCloseTo(LARGEST_BEND, 9)
    expect((start.atSeconds + end.atSeconds) / 2).toBeCloseTo(92.4 + 100 / RATE, 9)
  })

  test('a quiet place is asked for within 0.75 s of each step, and its middle is where the slew is', async () => {
    const close = [steps[0]!, { ...steps[1]!, atSeconds: 93.4 }]
    const survey = surveyOf()
    const asked: (readonly [number, number, number])[] = []
    survey.quietSpots = stretches => {
      asked.push(...stretches.map(s => [s.startSeconds, s.endSeconds, s.lengthSeconds] as const))
      return Promise.resolve([92.1, 93.9])
    }
    const source = file('b', { frames: 600 * RATE, lagSamples: 48, startOffsetSamples: 480, steps: close })
    const plan = await planOf([group('g', [a, source], { align: { follow: 'steps' } })], {}, survey)
    // 48 frames late and 480 started later: 9 ms earlier in its own time; slew of 14.4 frames at 0.3 %: 0.1 s
    const expected = [91.641, 92.891, 0.1, 92.891, 94.141, 0.1]
    for (const [i, value] of asked.flat().entries()) expect(value).toBeCloseTo(expected[i]!, 9)
    expect(asked).toHaveLength(2)
    const middles = sourceOf(plan, 'g/b').move.follow!.map(knot => knot.atSeconds)
    expect((middles[0]! + middles[1]!) / 2).toBeCloseTo(92.1, 9)
    expect((middles[2]! + middles[3]!) / 2).toBeCloseTo(93.9, 9)
  })

  test('slews that would run into each other share the time between their steps', async () => {
    // 1440 frames at 0.3 % take 10 s; the steps are 4 s apart
    const near = [
      { atSeconds: 90, fromLagSamples: 0, toLagSamples: 1440 },
      { atSeconds: 94, fromLagSamples: 1440, toLagSamples: 0 },
    ]
    const source = file('b', { frames: 600 * RATE, lagSamples: 0, steps: near })
    const plan = await planOf([group('g', [a, source], { align: { follow: 'steps' } })])
    const knots = sourceOf(plan, 'g/b').move.follow!
    expect(knots.map(knot => knot.atSeconds)).toEqual([85, 92, 99])
    expect(knots.map(knot => Math.abs(knot.shiftSamples))).toEqual([0, 1440, 0])
  })

  test('with the steps unknown: no knots', async () => {
    const plan = await planOf([group('g', [a, file('b', { steps: [] })], { align: { follow: 'steps' } })])
    expect(sourceOf(plan, 'g/b').move.follow).toBeNull()
  })
})

describe('curves', () => {
  const line = [
    { atSeconds: 0, samples: 0 },
    { atSeconds: 10, samples: 20 },
  ]

  test('straight between knots, constant outside', () => {
    expect([-1, 0, 2.5, 10, 11].map(seconds => valueAt(line, seconds))).toEqual([0, 0, 5, 20, 20])
  })

  test('add up knot by knot, the second in its own time', () => {
    const other = [
      { atSeconds: 4, samples: 1 },
      { atSeconds: 6, samples: 3 },
    ]
    const sum = addedKnots(line, other, 1)
    expect(sum.map(knot => knot.atSeconds)).toEqual([0, 3, 5, 10])
    for (const seconds of [-2, 0, 1, 3.3, 4.4, 8, 12]) {
      expect(valueAt(sum, seconds)).toBeCloseTo(valueAt(line, seconds) + valueAt(other, seconds + 1), 12)
    }
  })

  test('a group that drifts takes its files along', async () => {
    const kick = group('kick', [
      file('in', { frames: 600 * RATE }),
      file('out', { frames: 600 * RATE, lagSamples: 30, startOffsetSamples: 4800 }),
    ])
    const kit = group('kit', [a, inner('kick', 'kick', drifting)], { align: { follow: 'drift' } })
    const plan = await planOf([kick, kit])
    const within = sourceOf(plan, 'kick/in').move.follow!
    const out = sourceOf(plan, 'kick/out').move.follow!
    const knots = (follow: typeof out) =>
      follow.map(({ atSeconds, shiftSamples }) => ({ atSeconds, samples: shiftSamples }))
    // `out` started 0.1 s later: at its own 10 s it is 10.1 s in the time of `in`
    expect(valueAt(knots(out), 10)).toBeCloseTo(valueAt(knots(within), 10.1) - 30, 9)
  })
})
