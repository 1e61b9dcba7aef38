import { describe, expect, test } from 'vitest'
import type { MeasuredPair, MeasuredTraces } from '../../../src/measure/group/measured-traces.js'
import { clearestPair } from '../../../src/measure/group/measured-traces.js'
import { solveLags } from '../../../src/measure/group/solve.js'

/* Lags of a group from its pairs, by hand (found by `npm run mutants`). */

interface Told {
  readonly shift?: number
  readonly sign?: 1 | -1
  readonly uncertainty?: number
  readonly spread?: number
  readonly score?: number
  readonly prominence?: number
  readonly without?: readonly number[]
  readonly mass?: number
}

const pair = (first: number, second: number, lag: number | null, told: Told = {}): MeasuredPair =>
  ({
    first,
    second,
    shiftSamples: told.shift ?? 0,
    estimate:
      lag === null
        ? null
        : {
            lagSamples: lag - (told.shift ?? 0),
            sign: told.sign ?? 1,
            uncertaintySamples: told.uncertainty ?? 0.1,
            expectedSamples: told.uncertainty ?? 0.1,
            boundSamples: 0.01,
            spreadSamples: told.spread ?? 0,
            score: told.score ?? 0.9,
            prominence: told.prominence ?? 40,
            without: told.without ?? [],
            peaks: [{ mass: told.mass ?? 1 }],
          },
  }) as unknown as MeasuredPair

/** One trace per source, unless told by `sources`. */
const solved = (pairs: readonly MeasuredPair[], count: number, sources?: readonly number[], reference = 0) =>
  solveLags({
    task: { reference },
    traces: Array.from({ length: count }, (_, i) => ({ source: sources?.[i] ?? i })),
    pairs,
  } as unknown as MeasuredTraces)

describe('lags from all pairs', () => {
  test('of two: what the pair says, with the frames it was read ahead by', () => {
    const { lagSamples, closureSamples, misfitSamples } = solved([pair(0, 1, 96.5, { shift: 96 })], 2)
    expect(lagSamples).toEqual([0, expect.closeTo(96.5, 12)])
    expect(closureSamples).toBeNull()
    expect(misfitSamples).toEqual([0, expect.closeTo(0, 9)])
  })

  test('of three alike: a third of the disagreement each', () => {
    const found = solved([pair(0, 1, 10), pair(0, 2, 30), pair(1, 2, 20.3)], 3)
    expect(found.lagSamples).toEqual([0, expect.closeTo(9.9, 9), expect.closeTo(30.1, 9)])
    expect(found.closureSamples).toBeCloseTo(0.1, 9)
    expect(found.misfitSamples).toEqual([0.1, 0.1, 0.1].map(v => expect.closeTo(v, 9) as number))
  })

  test('a pair weighs by its uncertainty and a tenth of its spread', () => {
    // Weights 1 / (0.03² + (0.4 / 10)²) = 400 against 1 / (0.1² + 0) = 100, 100: solved by hand from the normal equations.
    const found = solved(
      [pair(0, 1, 10, { uncertainty: 0.03, spread: 0.4 }), pair(0, 2, 30), pair(1, 2, 20.3)],
      3,
    )
    // a = lag of 1, b = of 2: 500 a − 100 b = 4000 − 2030, −100 a + 200 b = 3000 + 2030
    const b = (1970 + 5 * 5030) / 900
    expect(found.lagSamples[2]).toBeCloseTo(b, 9)
    expect(found.lagSamples[1]).toBeCloseTo((1970 + 100 * b) / 500, 9)
  })

  test('a pair without the reference counts where it is clear and its polarity fits', () => {
    const third = (more: Told) =>
      solved([pair(0, 1, 10), pair(0, 2, 30, { sign: -1 }), pair(1, 2, 20.3, more)], 3).lagSamples[1]
    expect(third({ sign: -1 })).toBeCloseTo(9.9, 9)
    expect(third({ sign: 1 })).toBeCloseTo(10, 9)
    expect(third({ sign: -1, score: 0.25 })).toBeCloseTo(10, 9)
    expect(third({ sign: -1, score: 0.26 })).toBeCloseTo(9.9, 9)
    expect(third({ sign: -1, prominence: 8 })).toBeCloseTo(10, 9)
    expect(third({ sign: -1, prominence: 8.1 })).toBeCloseTo(9.9, 9)
  })

  test('nor where a direct pair is not clear, or there is none', () => {
    expect(
      solved([pair(0, 1, 10, { score: 0.2 }), pair(0, 2, 30), pair(1, 2, 20.3)], 3).lagSamples[1],
    ).toBeCloseTo(10, 9)
    const { lagSamples, uncertaintySamples } = solved([pair(0, 1, 10), pair(0, 2, null), pair(1, 2, 20)], 3)
    expect(lagSamples).toEqual([0, expect.closeTo(10, 9), null])
    expect(uncertaintySamples[2]).toBeNull()
  })

  test('of a reference of two channels: against their mean', () => {
    // Channels 0 and 1 are the reference, 4 frames apart; trace 2 is 10 after the first of them.
    const found = solved([pair(0, 1, 4), pair(0, 2, 10), pair(1, 2, 6)], 3, [0, 0, 1])
    expect(found.lagSamples).toEqual([-2, 2, 8].map(v => expect.closeTo(v, 9) as number))
    expect(found.uncertaintySamples.slice(0, 2)).toEqual([0, 0])
  })

  test('with nothing shared there are none', () => {
    expect(solved([pair(0, 1, null)], 2)).toMatchObject({ lagSamples: [null, null], closureSamples: null })
  })

  test('the error comes from solving again without each part of the time', () => {
    const without = [9.9, 10.1, 9.9, 10.1]
    const { uncertaintySamples } = solved([pair(0, 1, 10, { without, uncertainty: 0.1 })], 2)
    // jackknife: 3/4 · 4 · 0.01 = 0.03; steadied by 0.1², which is worth six parts beside three
    expect(uncertaintySamples[1]).toBeCloseTo(Math.sqrt((6 * 0.01 + 3 * 0.03) / 9), 9)
  })
})

describe('the pair in which most of a source lines up', () => {
  const traces = [{ source: 0 }, { source: 1 }, { source: 1 }] as unknown as MeasuredTraces['traces']
  test('by mass; none where nothing is shared', () => {
    const pairs = [pair(0, 1, 1, { mass: 2 }), pair(0, 2, 1, { mass: 3 })]
    expect(clearestPair(pairs, traces, 1)).toBe(1)
    expect(clearestPair(pairs, traces, 0)).toBeNull()
    expect(clearestPair([pair(0, 1, null)], traces, 1)).toBeNull()
    expect(clearestPair([pair(0, 1, 1, { mass: 0 })], traces, 1)).toBeNull()
  })
})
