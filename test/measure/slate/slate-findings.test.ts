import { describe, expect, test } from 'vitest'
import type { JudgedSource } from '../../../src/measure/group/judged-source.js'
import type { SessionTrack } from '../../../src/measure/session/session-source.js'
import type { SlatePlace } from '../../../src/measure/slate/find-slates.js'
import { slateFindings } from '../../../src/measure/slate/slate-findings.js'
import { slateFileOf } from '../../../src/measure/slate/slate-lags.js'
import type { SlateResponse } from '../../../src/measure/slate/slate-responses.js'
import type { measureTasks } from '../../../src/measure/tasks.js'
import type { Pooled } from '../../../src/terms/task.js'
import { pulses, RATE, response } from './made-pulses.js'

/* What a group makes of its slates, from places and responses that are made up: which are taken, what they settle, what is told. */

const track = (name: string, more: { readonly file?: object; readonly scan?: object } = {}): SessionTrack =>
  ({
    source: { name },
    file: {
      ...{ file: `${name}.wav`, selection: { kind: 'all' }, slate: null, facts: { stampSamples: null } },
      ...more.file,
    },
    fromGroup: null,
    scan: { silent: false, channels: 1, deadChannels: [], ...more.scan },
  }) as unknown as SessionTrack

/** A path that is a gain and a delay; the response begins 1000 frames before the place that was found. */
const answer = (place: number, late: number, factor = 1): SlateResponse =>
  response(pulses([{ at: 1000 + late, factor }]), place - 1000)

interface Heard {
  readonly places: readonly SlatePlace[]
  readonly respond?: (place: number) => readonly SlateResponse[]
}

const asked = async (
  heard: Readonly<Record<string, Heard>>,
  judged: Partial<JudgedSource>,
  more: {
    readonly slate?: boolean
    readonly offset?: number
    readonly reference?: Parameters<typeof track>[1]
    readonly source?: Parameters<typeof track>[1]
  } = {},
) => {
  const opened: string[] = []
  const tasks = {
    findSlatesIn: ({ file }: { readonly file: string }) => {
      opened.push(file)
      return Promise.resolve(heard[file]?.places ?? [])
    },
    respondToSlate: ({ file, place }: { readonly file: string; readonly place: number }) =>
      Promise.resolve(heard[file]!.respond!(place)),
  } as unknown as Pooled<typeof measureTasks>
  const group = {
    ...{ name: 'g', reference: 'a', sampleRateHz: RATE },
    align: { slate: more.slate ?? true, searchSeconds: 0.04 },
  }
  const source = {
    ...{ lagSamples: null, polarity: null, lagVerdict: 'unknown', polarityVerdict: 'unknown' },
    ...{ reason: 'why not', candidates: [], uncertaintySamples: null, spreadSamples: null },
    ...judged,
  }
  const found = await slateFindings(
    {
      group,
      tracks: [track('a', more.reference), track('b', more.source)],
      reference: 0,
      offsets: [0, more.offset ?? 0],
      judged: [null, source],
    } as never,
    tasks,
  )
  expect(found.judged[0]).toBeNull()
  expect(found.slates[0]).toBeNull()
  const told = found.warnings.map(({ code, group: name, source: about, message }) => {
    expect([name, about]).toEqual(['g', 'b'])
    return [code, message]
  })
  return { judged: found.judged[1]!, slate: found.slates[1] ?? null, told, opened, source }
}

const place = (frame: number, score = 0.9): SlatePlace => ({ frame, score })
const one = (late: number, factor = 1, at = 50000): Heard => ({
  places: [place(at)],
  respond: frame => [answer(frame, late, factor)],
})
const sure = (lagSamples: number, polarity: 'normal' | 'inverted' = 'normal') =>
  ({ lagSamples, polarity, lagVerdict: 'sure', polarityVerdict: 'sure', reason: null }) as const
const AGAIN =
  'Play it once through all paths at the same time, loud enough to stand out, and with nothing else playing.'

describe('a slate in both recordings', () => {
  const heard = { 'a.wav': one(0), 'b.wav': one(37.25, -0.5) }

  test('settles what was not sure', async () => {
    const candidate = { aim: 'arrival', lagSamples: 3, polarity: 'normal', score: 0.4 } as const
    const { judged, slate, told } = await asked(heard, { candidates: [candidate] })
    expect(judged).toMatchObject({
      ...{ polarity: 'inverted', lagVerdict: 'sure', polarityVerdict: 'sure', reason: null },
    })
    expect(Math.abs(judged.lagSamples! - 37.25)).toBeLessThan(0.01)
    expect(judged.uncertaintySamples).toBe(slate!.lagUncertaintySamples)
    expect(judged.spreadSamples).toBe(slate!.arrivalSpreadSamples)
    expect(judged.candidates).toHaveLength(2)
    expect(judged.candidates[0]).toMatchObject({
      aim: 'arrival',
      lagSamples: judged.lagSamples,
      polarity: 'inverted',
    })
    expect(judged.candidates[0]!.score).toBeGreaterThan(0.95)
    expect(judged.candidates[0]!.score).toBeLessThanOrEqual(1)
    expect(judged.candidates[1]).toEqual(candidate)
    expect(slate).toMatchObject({ lagSamples: judged.lagSamples, polarity: 'inverted', used: true })
    expect(slate!.arrivalSpreadSamples).toBeLessThan(0.2)
    expect(slate!.groupDelay.map(({ middleHz }) => middleHz)).toEqual([
      63, 125, 250, 500, 1000, 2000, 4000, 8000,
    ])
    expect(told).toEqual([])
  })

  test('settles the polarity alone where the lag was sure', async () => {
    const { judged, slate } = await asked(heard, { ...sure(37), polarityVerdict: 'unsure' })
    expect(judged).toMatchObject({
      lagSamples: 37,
      polarity: 'inverted',
      polarityVerdict: 'sure',
      candidates: [],
    })
    expect(slate!.used).toBe(true)
  })

  test('leaves alone what was sure and agrees within a quarter of a millisecond', async () => {
    for (const lag of [37.25 + 11.9, 37.25 - 11.9]) {
      const { judged, slate, told, source } = await asked(heard, sure(lag, 'inverted'))
      expect(judged).toBe(source)
      expect(slate!.used).toBe(false)
      expect(told).toEqual([])
    }
  })

  test('is told where it contradicts what was sure, and what was played counts', async () => {
    const { judged, slate, told, source } = await asked(heard, sure(37.25 + 12.1, 'inverted'))
    expect(judged).toBe(source)
    expect(slate!.used).toBe(false)
    expect(told).toEqual([
      [
        'SLATE_DIFFERS',
        "By the slate it is 0.78 ms late and inverted; by what was played 1.03 ms and inverted. What was played counts. Was the slate's loudspeaker where the instrument is, and was nothing moved since?",
      ],
    ])
    expect((await asked(heard, sure(37.25))).told).toEqual([
      [
        'SLATE_DIFFERS',
        expect.stringContaining('0.78 ms late and inverted; by what was played 0.78 ms and normal') as string,
      ],
    ])
    // A lag that is sure and far off contradicts, whatever is known of the polarity.
    expect((await asked(heard, { ...sure(90), polarityVerdict: 'unsure' })).told).toHaveLength(1)
  })

  test('is taken by its place: what was taken off before measuring is taken off here', async () => {
    const later = { 'a.wav': one(0), 'b.wav': one(37.25, 1, 50000 - 480) }
    const { judged } = await asked(later, {}, { offset: 480 })
    expect(Math.abs(judged.lagSamples! - 37.25)).toBeLessThan(0.01)
  })

  test('of several playings the clearest that can be one and the same', async () => {
    const many = {
      'a.wav': { ...one(0), places: [place(50000, 0.5), place(900000, 0.9)] },
      'b.wav': { ...one(20), places: [place(200000, 0.99), place(50010, 0.6), place(50100, 0.3)] },
    }
    const { judged } = await asked(many, {})
    // 10 of it by the places, 20 by the responses.
    expect(Math.abs(judged.lagSamples! - 30)).toBeLessThan(0.02)
  })

  test('over the channels of a linked set: the mean, and half their distance in the spread', async () => {
    const pair: Heard = { places: [place(50000)], respond: frame => [answer(frame, 30), answer(frame, 40)] }
    const { slate } = await asked({ ...heard, 'b.wav': pair }, {})
    expect(Math.abs(slate!.lagSamples - 35)).toBeLessThan(0.01)
    expect(Math.abs(slate!.arrivalSpreadSamples - 5)).toBeLessThan(0.05)
  })
})

describe('a slate that gives no answer', () => {
  const trouble = async (heard: Readonly<Record<string, Heard>>): Promise<string> => {
    const { judged, slate, told, source } = await asked(heard, {})
    expect(judged).toBe(source)
    expect(slate).toBeNull()
    expect(told).toHaveLength(1)
    expect(told[0]![0]).toBe('SLATE_NOT_FOUND')
    return told[0]![1]!
  }
  const none: Heard = { places: [] }

  test('since it is not there', async () => {
    expect(await trouble({ 'a.wav': one(0), 'b.wav': none })).toBe(
      `No slate is heard on this source. ${AGAIN}`,
    )
    expect(await trouble({ 'a.wav': none, 'b.wav': one(0) })).toBe(
      `No slate is heard on a, so there is nothing to hold this one against. ${AGAIN}`,
    )
  })

  test('since both are too far apart: the search and 20 ms', async () => {
    const apart = (frames: number) => ({ 'a.wav': one(0), 'b.wav': one(0, 1, 50000 + frames) })
    expect(await trouble(apart(0.061 * RATE))).toBe(
      'The slate here and that on a are further apart than the search: not one playing, or files that do not start together. Widen the search (search:), or name a file for each (slate:).',
    )
    expect((await asked(apart(0.059 * RATE), {})).slate).not.toBeNull()
  })

  test('since its sweeps or the channels do not agree', async () => {
    const unclear = `The slate is heard, but its two sweeps, or the channels, do not give one clear answer. ${AGAIN}`
    const unlike: Heard = {
      places: [place(50000)],
      respond: frame => [{ ...answer(frame, 0), second: answer(frame, 500).first }],
    }
    expect(await trouble({ 'a.wav': one(0), 'b.wav': unlike })).toBe(unclear)
    const ways: Heard = { places: [place(50000)], respond: frame => [answer(frame, 5), answer(frame, 5, -1)] }
    expect(await trouble({ 'a.wav': one(0), 'b.wav': ways })).toBe(unclear)
  })
})

describe('where a slate is looked for', () => {
  const heard = { 'a.wav': one(0), 'b.wav': one(10), 's.wav': one(30) }
  const own = {
    slate: { file: 's.wav', selection: { kind: 'all' }, facts: { channels: 2, stampSamples: null } },
  }

  test('nowhere, where the recipe names none', async () => {
    const { opened, slate, told } = await asked(heard, {}, { slate: false })
    expect([opened, slate, told]).toEqual([[], null, []])
  })

  test('in files of its own, where the recipe names them', async () => {
    const { opened, slate } = await asked(heard, {}, { slate: false, source: { file: own } })
    expect(opened).toEqual(['a.wav', 's.wav'])
    expect(Math.abs(slate!.lagSamples - 30)).toBeLessThan(0.02)
    const stamped = (stampSamples: number) => ({
      file: { slate: { ...own.slate, facts: { channels: 1, stampSamples } } },
    })
    // Files of their own start together by their own stamps.
    const both = await asked(
      { 's.wav': one(30) },
      {},
      { slate: false, offset: 999, reference: stamped(1000), source: stamped(1100) },
    )
    expect(Math.abs(both.slate!.lagSamples - 100)).toBeLessThan(0.02)
  })

  test('in the channels that sound', () => {
    const channels = (scan: object, file: object = {}) => slateFileOf(track('b', { scan, file })).channels
    expect(channels({ channels: 3, deadChannels: [1] })).toEqual([0, 2])
    expect(channels({ channels: 2, silent: true })).toEqual([])
    expect(channels({ channels: 1, silent: true }, own)).toEqual([0, 1])
    expect(slateFileOf(track('b', { file: own })).file).toBe('s.wav')
    expect(slateFileOf(track('b')).file).toBe('b.wav')
  })
})
