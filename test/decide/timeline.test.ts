import { describe, expect, test } from 'vitest'
import {
  blend,
  codesOf,
  file,
  group,
  inner,
  planOf,
  RATE,
  sourceOf,
  stemOf,
  surveyOf,
} from './setting/song.js'

const SECOND = RATE
const stamped = (stampSamples: number) => ({ facts: { stampSamples } })
const lengths = { frames: 10 * SECOND }

describe('without time stamps', () => {
  test('zero stays, the length is that of the latest end', async () => {
    const plan = await planOf([
      group('g', [file('a', lengths), file('b', { ...lengths, lagSamples: 95.31 })]),
    ])
    for (const stem of plan.stems) expect(stem).toMatchObject({ frames: 10 * SECOND, stampSamples: null })
    expect(plan.stems).toHaveLength(2)
    const later = await planOf([
      group('g', [file('a', lengths), file('b', { ...lengths, lagSamples: -95.31 })]),
    ])
    expect(later.stems.map(stem => stem.frames)).toEqual([10 * SECOND + 96, 10 * SECOND + 96])
  })

  test('a file as recorded in a blend counts with its end as recorded', async () => {
    const long = file('b', { frames: 11 * SECOND, lagSamples: 480 })
    const aligned = [blend('mix', { a: 50, b: 50 })]
    const raw = [...aligned, blend('raw', { a: 50, b: 50 }, { aligned: false })]
    const framesWith = async (blends: typeof raw) =>
      (await planOf([group('g', [file('a', lengths), long], { blends })], { stems: 'none' })).stems[0]?.frames
    expect(await framesWith(aligned)).toBe(11 * SECOND - 480)
    expect(await framesWith(raw)).toBe(11 * SECOND)
  })

  test('what is pushed before the start is told with its level; above -60 dBFS it is a warning', async () => {
    const groups = (hold: 'reference' | 'latest') => [
      group('g', [file('a'), file('b', { lagSamples: 364 })], { align: { hold } }),
    ]
    const heads = (peakDbfs: number | null) => surveyOf({}, { 'g/b': { frames: 364, peakDbfs } })
    const loud = await planOf(groups('reference'), {}, heads(-23.4))
    expect(sourceOf(loud, 'g/b').headCut).toEqual({ frames: 364, peakDbfs: -23.4 })
    expect(loud.warnings[0]).toMatchObject({ code: 'HEAD_CUT', group: 'g', source: 'b' })
    expect(loud.warnings[0]?.message).toContain('first 7.583 ms')
    expect(loud.warnings[0]?.message).toContain('−23.4 dBFS')
    expect(loud.warnings[0]?.message).toContain('`hold: latest`')
    const quiet = await planOf(groups('reference'), {}, heads(-60))
    expect(sourceOf(quiet, 'g/b').headCut).toEqual({ frames: 364, peakDbfs: -60 })
    expect(codesOf(quiet)).toEqual([])
    const asked = heads(-3)
    const held = await planOf(groups('latest'), {}, asked)
    expect(asked.asked).toEqual([])
    expect(sourceOf(held, 'g/b').headCut).toBeNull()
  })
})

describe('with time stamps', () => {
  const start = 13 * 3600 * SECOND

  test('sound pushed before the start: all stems start earlier, the stamp is lowered, nothing is cut', async () => {
    const survey = surveyOf()
    const plan = await planOf(
      [
        group('g', [
          file('a', lengths, stamped(start)),
          file('b', { ...lengths, lagSamples: 95.31 }, stamped(start)),
        ]),
      ],
      {},
      survey,
    )
    expect(survey.asked).toEqual([])
    for (const stem of plan.stems)
      expect(stem).toMatchObject({ stampSamples: start - 96, frames: 10 * SECOND + 96 })
    expect(sourceOf(plan, 'g/a').recordedAtSamples).toBe(96)
    expect(stemOf(plan, 'g_a').parts[0]).toMatchObject({ atSamples: 96, recordedAtSamples: 96 })
    expect(stemOf(plan, 'g_b').parts[0]?.atSamples).toBeCloseTo(0.69, 9)
  })

  test('a stamp at midnight cannot be lowered: then it is cut', async () => {
    const survey = surveyOf({}, { 'g/b': { frames: 96, peakDbfs: -10 } })
    const groups = [
      group('g', [file('a', lengths, stamped(0)), file('b', { ...lengths, lagSamples: 95.31 }, stamped(0))]),
    ]
    const plan = await planOf(groups, {}, survey)
    expect(plan.stems[0]).toMatchObject({ stampSamples: 0, frames: 10 * SECOND })
    expect(codesOf(plan)).toEqual(['HEAD_CUT'])
  })

  test('files of other groups stand where their stamps say; a group without starts with the song', async () => {
    const plan = await planOf([
      group('bass', [file('a', lengths, stamped(start + 2 * SECOND))]),
      group('vox', [file('v', { frames: 3 * SECOND }, stamped(start))]),
      group('loop', [file('l', { frames: SECOND })]),
    ])
    expect(plan.sources.map(source => source.recordedAtSamples)).toEqual([2 * SECOND, 0, 0])
    for (const stem of plan.stems) expect(stem).toMatchObject({ stampSamples: start, frames: 12 * SECOND })
    expect(plan.stems).toHaveLength(3)
  })

  test('stamps hours apart are done, and told', async () => {
    const plan = await planOf([
      group('bass', [file('a', lengths, stamped(start))]),
      group('overdub', [file('b', lengths, stamped(start + 5400 * SECOND))]),
    ])
    expect(plan.stems[0]?.frames).toBe(5410 * SECOND)
    expect(codesOf(plan)).toEqual(['START_DIFFERS'])
    expect(plan.warnings[0]?.message).toContain('up to 90 min 0 s apart (first bass/a, last overdub/b)')
    const near = [
      group('bass', [file('a', lengths, stamped(start))]),
      group('overdub', [file('b', lengths, stamped(start + 30 * SECOND))]),
    ]
    expect(codesOf(await planOf(near))).toEqual([])
  })

  test('a stamp that the sound contradicts is left out: the file starts with its reference', async () => {
    const plan = await planOf([
      group('g', [
        file('a', lengths, stamped(start)),
        file('b', { ...lengths, startOffsetSamples: 0 }, stamped(start + 99999)),
      ]),
    ])
    expect(sourceOf(plan, 'g/b').recordedAtSamples).toBe(0)
    expect(plan.stems[0]?.frames).toBe(10 * SECOND)
  })

  test('a reference without a stamp: the group starts at the first stamp there is', async () => {
    const plan = await planOf([group('g', [file('a', lengths), file('b', lengths, stamped(start))])])
    expect(plan.stems[0]?.stampSamples).toBe(start)
  })

  test('start offsets of groups in groups add up', async () => {
    const kick = group('kick', [
      file('in', lengths, stamped(start + 100)),
      file('out', { ...lengths, startOffsetSamples: -30 }, stamped(start + 70)),
    ])
    const kit = group('kit', [
      file('top', lengths, stamped(start)),
      inner('kick', 'kick', { startOffsetSamples: 100 }),
    ])
    const plan = await planOf([kick, kit])
    expect(plan.sources.map(source => source.recordedAtSamples)).toEqual([100, 70, 0])
  })
})

describe('groups at different rates', () => {
  const start = 3600 // seconds
  const at = (rate: number, stampSamples: number) => ({ facts: { sampleRateHz: rate, stampSamples } })

  test('stems start together, to the frame of each rate, and have one length', async () => {
    const plan = await planOf([
      group('a', [file('a', { frames: 48000 }, at(48000, start * 48000 + 1))]),
      group('b', [file('b', { frames: 44100 }, at(44100, start * 44100))], { sampleRateHz: 44100 }),
    ])
    expect(plan.stems.map(stem => stem.stampSamples)).toEqual([start * 48000, start * 44100])
    expect(plan.stems.map(stem => stem.frames)).toEqual([48001, 44101])
    expect(plan.sources.map(source => source.recordedAtSamples)).toEqual([1, 0])
  })

  test('a day at 384 kHz stays exact', async () => {
    const late = 86399 * 384000 + 383999
    const plan = await planOf([
      group('a', [file('a', { frames: 384000 }, at(384000, late))], { sampleRateHz: 384000 }),
      group('b', [file('b', { frames: 44100 }, at(44100, 86399 * 44100 + 44099))], { sampleRateHz: 44100 }),
    ])
    expect(plan.stems.map(stem => stem.stampSamples)).toEqual([
      Math.floor(((86399 * 44100 + 44099) * 384000) / 44100),
      86399 * 44100 + 44099,
    ])
    expect(sourceOf(plan, 'a/a').recordedAtSamples).toBe(late - plan.stems[0]!.stampSamples!)
  })
})
