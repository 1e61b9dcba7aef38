import { describe, expect, test } from 'vitest'
import type { Plan, PlannedSource, PlannedStem, StemPart } from '../../src/decide/plan.js'
import { deliveredLater } from '../../src/tone/blend-tone.js'
import { rememberedSums } from '../../src/tone/spectra/view-sums.js'
import { asDelivered, asPlanned, viewOf } from '../../src/tone/view-of-group.js'

/* Which signals a look at a group takes, by hand. */

const source = (key: string, channels: number, more: object = {}): PlannedSource =>
  ({
    key,
    file: `${key}.wav`,
    selection: { kind: 'all' },
    channels,
    recordedAtSamples: 100,
    move: { shiftSamples: -40.5, polarity: 'normal', follow: null },
    ...more,
  }) as unknown as PlannedSource

const part = (key: string, more: Partial<StemPart> = {}): StemPart => ({
  key,
  atSamples: 59.5,
  gain: 0.4,
  recordedAtSamples: 100,
  recordedGain: 0.5,
  weightShown: '',
  matchGainDb: 0,
  follow: null,
  ...more,
})

const stem = (channels: number, parts: readonly StemPart[]): PlannedStem =>
  ({ channels, parts, sampleRateHz: 48000, frames: 9000 }) as unknown as PlannedStem

const FOLLOW = [{ atSeconds: 0, shiftSamples: -40 }]
const sources = [source('piezo', 1), source('pair', 2), source('none', 1)]
const plan = { sources } as unknown as Plan

describe('a view of the blends of a group', () => {
  test('has each source, signal and pair once; mono goes to both sides; what counts for notes are the gains that match', () => {
    // +6.0206 dB is a factor of 2.
    const wide = stem(2, [part('piezo', { matchGainDb: 6.0206 }), part('pair')])
    const narrow = stem(1, [part('pair'), part('piezo')])
    const { view, blends } = viewOf(plan, [wide, narrow], asPlanned)
    const placement = { atSamples: 59.5, recordedAtSamples: 100, follow: null }
    const selection = { kind: 'all' }
    expect(view).toEqual({
      sampleRateHz: 48000,
      frames: 9000,
      sources: [
        { file: 'piezo.wav', selection, channels: 1, placement },
        { file: 'pair.wav', selection, channels: 2, placement },
      ],
      signals: [
        { source: 0, channel: 0, weight: expect.closeTo(4 + 4 + 1, 4) as number },
        { source: 1, channel: 0, weight: 2 },
        { source: 1, channel: 1, weight: 1 },
      ],
      pairs: [
        [0, 1],
        [0, 2],
      ],
      asRecorded: [],
    })
    expect(blends.map(({ channels }) => channels.map(parts => parts.map(({ signal }) => signal)))).toEqual([
      [
        [0, 1],
        [0, 2],
      ],
      [[1, 0]],
    ])
    expect(blends.map(blend => [blend.stem, blend.asRecorded])).toEqual([
      [wide, null],
      [narrow, null],
    ])
  })

  test('a source that comes in twice is two', () => {
    const { view, blends } = viewOf(plan, [stem(1, [part('piezo'), part('piezo')])], asPlanned)
    expect(view.sources).toHaveLength(2)
    expect(view.pairs).toEqual([[0, 1]])
    expect(blends[0]!.channels[0]!.map(({ signal }) => signal)).toEqual([0, 1])
  })

  test('sums frame by frame what is recorded, channel by channel, where any part follows', () => {
    const following = source('pair', 2, {
      move: { shiftSamples: -40, polarity: 'normal', follow: FOLLOW },
    })
    const own = { sources: [sources[0]!, following] } as unknown as Plan
    const { view, blends } = viewOf(
      own,
      [stem(2, [part('piezo', { recordedGain: 0.3 }), part('pair', { follow: FOLLOW })])],
      asPlanned,
    )
    expect(blends[0]!.asRecorded).toEqual([0, 1])
    expect(view.asRecorded).toEqual(
      [1, 2].map(signal => ({
        parts: [
          { signal: 0, gain: 0.3, recordedAtSamples: 100 },
          { signal, gain: 0.5, recordedAtSamples: 100 },
        ],
      })),
    )
    expect(view.sources[1]!.placement).toEqual({
      atSamples: 60,
      recordedAtSamples: 100,
      follow: FOLLOW,
    })
  })

  test('lies as the blend has it, where that is asked for', () => {
    const runs = [] as const
    const { view } = viewOf(
      plan,
      [
        stem(1, [
          part('piezo', { atSamples: 7, recordedAtSamples: 8, runs }),
          part('pair', { atSamples: 9 }),
        ]),
      ],
      asDelivered,
    )
    expect(view.sources.map(({ placement }) => placement)).toEqual([
      { atSamples: 7, recordedAtSamples: 8, follow: null, runs },
      { atSamples: 9, recordedAtSamples: 100, follow: null },
    ])
  })
})

test('a part is delivered later than it lay by whole frames in the view; what follows lies where it is delivered', () => {
  const at = (atSamples: number, placed: number, follow: StemPart['follow'] = null) =>
    deliveredLater({
      part: part('piezo', { atSamples }),
      signal: 0,
      placement: { atSamples: placed, recordedAtSamples: 0, follow },
    })
  expect([at(10.25, 10.25), at(30, 10.6), at(10.25, 99, FOLLOW)]).toEqual([0.25, 19, 0])
})

test('the sums of small views are remembered, those of large ones are not', async () => {
  const remembered: number[] = []
  const asked = async (signals: number, pairs: number) => {
    const view = {
      ...viewOf(plan, [stem(1, [part('piezo')])], asPlanned).view,
      frames: 10,
      signals: Array.from({ length: signals }, () => ({ source: 0, channel: 0, weight: 1 })),
      pairs: Array.from({ length: pairs }, () => [0, 0] as const),
    }
    const sums = { groupSpectra: () => Promise.resolve('the sums' as never) }
    return rememberedSums(view, sums, async (_, input, make) => {
      remembered.push(signals + 2 * pairs)
      expect(input).toBe(view)
      return make()
    })
  }
  expect(await asked(12, 69)).toBe('the sums')
  expect(await asked(13, 69)).toBe('the sums')
  expect(remembered).toEqual([150])
})
