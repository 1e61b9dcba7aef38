import { describe, expect, test } from 'vitest'
import { decide } from '../../src/decide/decide.js'
import { planText } from '../../src/decide/plan-text.js'
import { blend, file, group, inner, planOf, RATE, song, surveyOf } from './setting/song.js'

/*
 * What is said in full, word for word: parts of a sentence that no other test reads could be lost without anybody noticing (found by
 * `npm run mutants`).
 */

const start = 13 * 3600 * RATE + 62 * RATE + 1234
const stamped = (stampSamples: number) => ({ facts: { stampSamples } })
const gain = (db: number): number => 10 ** (db / 20)

const messagesOf = async (...args: Parameters<typeof planOf>) =>
  (await planOf(...args)).warnings.map(({ code, message }) => [code, message])

describe('the printed plan', () => {
  test('moves, stems, start and ceiling', async () => {
    const loud = { truePeakDbtp: -0.5, samplePeakDbfs: -0.6 }
    const plan = await planOf(
      [
        group(
          'bass',
          [
            file('piezo', loud, { polarity: 'inverted', ...stamped(start) }),
            file('mic', { ...loud, lagSamples: 48 }, stamped(start)),
            file('amp', { lagSamples: 9600.5 }, { via: 'reamp', ...stamped(start) }),
          ],
          {
            align: { hold: 'latest' },
            blends: [blend('sum', { piezo: '0 dB', mic: '0 dB' }, { match: 'none' })],
          },
        ),
      ],
      { depth: 24 },
      surveyOf({ 'lantern_street_sum.wav': { samplePeak: 1.2, truePeak: gain(2.3) } }),
    )
    expect(planText({ ...plan, take: null }, 200).split('\n')).toEqual([
      'Lantern Street: 4 stems in /stems/lantern-street-take4',
      '',
      'source        frames        ms  polarity  because',
      'bass/piezo       +48    +1.000  inverted  reference: waits 1.000 ms for the latest, inverted as the recipe states',
      'bass/mic           0     0.000  inverted  late by 1.000 ms, sure; polarity inverted',
      'bass/amp    −9552.50  −199.010  inverted  late by 200.010 ms, sure; polarity inverted',
      'bass as a whole now is 1.000 ms late against the rest of the song.',
      '',
      'file                           ch  bits  dither  made of',
      'lantern_street_sum.wav          1    24  TPDF    piezo 0.0 dB, mic 0.0 dB',
      'lantern_street_bass_piezo.wav   1    24  none    piezo',
      'lantern_street_bass_mic.wav     1    24  none    mic',
      'lantern_street_bass_amp.wav     1    24  TPDF    amp',
      // 9553 frames earlier than 13:01:02 and 1234 frames
      'All stems: 489601 frames (10.200 s at 48000 Hz), time stamp 13:01:01.826.',
      'All blends 3.5 dB down for the ceiling of −1.0 dBTP.',
    ])
    expect(planText(plan, 200)).toContain('Lantern Street, take 4: 4 stems')
  })

  test('a reference that is turned over and waits for nobody', async () => {
    const plan = await planOf([group('g', [file('a', {}, { polarity: 'inverted' })])])
    expect(plan.sources[0]?.move.because).toBe('reference, inverted as the recipe states')
    const nudged = await planOf([group('g', [file('a', {}, { nudgeSamples: 48 })])])
    expect(nudged.sources[0]?.move.because).toBe('reference; left late by 1.000 ms on purpose')
  })

  test('what the recipe states is said as stated', async () => {
    const plan = await planOf([
      group('g', [
        file('a'),
        file('b', {}, { lag: { samples: 48 }, polarity: 'inverted' }),
        file('c', { polarity: 'inverted' }, { lag: { samples: -48 } }),
        file('d', {}, { lag: 'as-recorded', polarity: 'as-recorded' }),
        file('e', { lagSamples: -24 }),
      ]),
    ])
    expect(plan.stems.map(({ parts }) => parts[0]?.weightShown)).toEqual(new Array(5).fill('as it is'))
    expect(planText(plan)).not.toContain('as a whole')
    expect(plan.sources.map(({ move }) => move.because)).toEqual([
      'reference: untouched bits',
      'late by 1.000 ms as the recipe states; inverted as the recipe states',
      'early by 1.000 ms as the recipe states; polarity inverted',
      'lag left as recorded; polarity left as recorded',
      'early by 0.500 ms, sure',
    ])
    expect(plan.sources.map(({ isReference }) => isReference)).toEqual([true, false, false, false, false])
  })
})

describe('warnings, word for word', () => {
  test('HEAD_CUT names the cure that is left', async () => {
    const cut = (hold: 'reference' | 'latest') =>
      messagesOf(
        [
          group('other', [file('x')]),
          group('g', [file('a'), file('b', { lagSamples: 364 })], { align: { hold } }),
        ],
        {},
        surveyOf({}, { 'g/b': { frames: 364, peakDbfs: -23.44 } }),
      )
    expect(await cut('reference')).toEqual([
      [
        'HEAD_CUT',
        'The first 7.583 ms of b would come before the start of the stems and are cut off; they reach −23.4 dBFS. ' +
          '`hold: latest` keeps it: nothing is pulled forward then.',
      ],
    ])
    // With `latest` only a nudge to earlier, or a re-amped pass, is still cut.
    const late = await messagesOf(
      [
        group('other', [file('x')]),
        group('g', [file('a'), file('b', { lagSamples: 364 }, { via: 'reamp' })], {
          align: { hold: 'latest' },
        }),
      ],
      {},
      surveyOf({}, { 'g/b': { frames: 364, peakDbfs: -23.44 } }),
    )
    expect(late[0]?.[1]).toMatch(
      / −23\.4 dBFS\. Files that carry a time stamp lose nothing: all stems then start earlier\.$/,
    )
  })

  test('START_DIFFERS tells first and last, in whatever order the recipe has them', async () => {
    const lengths = { frames: 10 * RATE }
    expect(
      await messagesOf([
        group('b', [file('late', { frames: 8 * RATE }, stamped(start + 90 * RATE))]),
        group('a', [file('early', lengths, stamped(start))]),
        group('c', [file('middle', lengths, stamped(start + 50 * RATE))]),
      ]),
    ).toEqual([
      [
        'START_DIFFERS',
        'By their time stamps the recordings of this song start up to 1 min 30 s apart (first a/early, last b/late), and ' +
          'every stem is 1 min 38 s long. If it was not played so, correct the stamps, or export all files again from one start.',
      ],
    ])
    // Twice the longest recording and a minute is still believed.
    expect(
      await messagesOf([
        group('a', [file('early', lengths, stamped(start))]),
        group('b', [file('late', lengths, stamped(start + 70 * RATE))]),
      ]),
    ).toEqual([])
  })

  test('CEILING names the loudest blend, and keeps what was', async () => {
    const loud = { truePeakDbtp: -0.5, samplePeakDbfs: -0.6 }
    const groups = [
      group('bass', [file('a', loud), file('b', loud)], {
        blends: [
          blend('less', { a: '0 dB', b: '-3 dB' }, { match: 'none' }),
          blend('more', { a: '0 dB', b: '0 dB' }, { match: 'none' }),
          blend('middle', { a: '0 dB', b: '-1 dB' }, { match: 'none' }),
        ],
      }),
    ]
    const peak = (db: number) => ({ samplePeak: 0.9, truePeak: gain(db) })
    const survey = surveyOf({
      'lantern_street_less.wav': peak(0.4),
      'lantern_street_more.wav': peak(2.3),
      'lantern_street_middle.wav': peak(1.1),
    })
    expect(await messagesOf(groups, {}, survey)).toEqual([
      [
        'CEILING',
        'All blends of the song were turned down by 3.5 dB: more would have reached +2.3 dBTP, the ceiling is −1.0 dBTP. ' +
          'Nothing was limited. Lower the gains of that blend, or raise `deliver.ceiling`, to keep the others where they were.',
      ],
    ])
    const { session, measurement } = song(groups)
    const kept = await decide(session, measurement, survey, { levels: new Map(), turnDownDb: 5 })
    expect(kept.turnDownDb).toBe(5)
    expect(kept.warnings.map(({ message }) => message)).toEqual([
      'All blends of the song are turned down by 5.0 dB, as they were before; the ceiling of −1.0 dBTP would now ask for 3.5 dB. ' +
        'Their level stays until `--remeasure` asks for a new one.',
    ])
  })

  test('CLIPPED_STEM tells by how much and what keeps the level', async () => {
    const hot = { truePeakDbtp: 3, samplePeakDbfs: 2.2, lagSamples: 0.5 }
    expect(
      await messagesOf(
        [group('g', [file('a'), file('b', hot)])],
        {},
        surveyOf({ 'lantern_street_g_b.wav': { samplePeak: gain(2.2), truePeak: gain(3) } }),
      ),
    ).toEqual([
      [
        'CLIPPED_STEM',
        'g_b goes above full scale and was turned down by 2.5 dB to fit into 24 bit. `depth: 32f` keeps its level.',
      ],
    ])
  })

  test('NOT_SURE where a measurement gives no lag, whatever its verdict', async () => {
    const [warning] = (await planOf([group('g', [file('a'), file('b', { lagSamples: null })])])).warnings
    expect(warning?.message).toBe(
      'The lag of b is unknown. It stays entirely as recorded. To settle it, measure a passage in which both paths sound ' +
        '(`align.passage`), or listen and state `lag: …` and `polarity: inverted` or `polarity: as-recorded` in the recipe.',
    )
  })

  test('a session and a measurement of different recipes: what is missing is named', async () => {
    const { session } = song([group('g', [file('a')])])
    const { measurement } = song([group('h', [file('a')])])
    await expect(decide(session, measurement, surveyOf())).rejects.toThrow(
      'group g is missing from the measurement',
    )
    const other = song([group('g', [file('b')])])
    await expect(decide(session, other.measurement, surveyOf())).rejects.toThrow(
      'source a of group g is missing from the measurement',
    )
    const lost = song([group('g', [file('a'), inner('k', 'kick')])])
    await expect(decide(lost.session, lost.measurement, surveyOf())).rejects.toThrow('group kick is missing')
  })
})
