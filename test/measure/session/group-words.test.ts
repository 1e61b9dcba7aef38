import { describe, expect, test } from 'vitest'
import type { SourceMeasurement } from '../../../src/measure/measurement.js'
import { type GroupFindings, groupWarnings } from '../../../src/measure/session/group-warnings.js'
import { type SessionTrack, stampOffset } from '../../../src/measure/session/session-source.js'
import { file, inner, type Told } from '../../decide/setting/song.js'

/* What comparing the sources of a group tells: at its limits, and word for word. */

const RATE = 48000

const trackOf = (told: Told, scan: object = {}): SessionTrack =>
  ({
    source: told.source,
    file: told.source.kind === 'file' ? told.source : { facts: {}, selection: { kind: 'all' } },
    fromGroup: told.source.kind === 'group' ? told.source.group : null,
    scan: { silent: false, rmsDbfs: -20, frames: 10 * RATE, sha256: told.source.name, ...scan },
  }) as unknown as SessionTrack

const warned = (
  tracks: readonly SessionTrack[],
  measured: readonly Partial<SourceMeasurement>[] = [],
  more: Partial<GroupFindings> = {},
): [string | null, string, string][] => {
  const group = {
    name: 'g',
    reference: tracks[0]!.source.name,
    sampleRateHz: RATE,
    sources: tracks.map(({ source }) => source),
  }
  const findings = {
    session: { groups: [group], temperatureCelsius: 20 },
    group,
    tracks,
    sources: tracks.map((track, i) => ({ ...file(track.source.name).measured, ...measured[i] })),
    reference: 0,
    stamped: tracks.map(() => 0),
    contradicted: [],
    measured: null,
    ...more,
  } as unknown as GroupFindings
  return groupWarnings(findings).map(({ code, source, message, group: name }) => {
    expect(name).toBe('g')
    return [source, code, message]
  })
}

const a = trackOf(file('a'))
const b = trackOf(file('b'))

describe('levels and lengths', () => {
  test('more than 30 dB under the middle of the group', () => {
    const quiet = (db: number) => warned([a, b, trackOf(file('c'), { rmsDbfs: -20 - db })])
    expect(quiet(30)).toEqual([])
    expect(quiet(30.6)).toEqual([
      [
        'c',
        'LEVEL_FAR_OFF',
        'Plays 31 dB below the middle of its group. Check the gain, the cable and that the right file is named.',
      ],
    ])
    // What is silent is told elsewhere, and a group tells its own files.
    expect(warned([a, b, trackOf(file('c'), { rmsDbfs: -90, silent: true })])).toEqual([])
    expect(warned([a, b, trackOf(file('c'), { rmsDbfs: null })])).toEqual([])
    expect(warned([a, b, trackOf(inner('c', 'inside'), { rmsDbfs: -90, frames: 1 })])).toEqual([])
    expect(
      warned([trackOf(file('a'), { silent: true, rmsDbfs: -90 }), trackOf(file('b'), { rmsDbfs: -70 })]),
    ).toEqual([])
  })

  test('more than a second shorter than the longest', () => {
    const short = (frames: number) => warned([a, trackOf(file('b'), { frames: 10 * RATE - frames })])
    expect(short(RATE)).toEqual([])
    expect(short(1.26 * RATE)).toEqual([
      [
        'b',
        'LENGTH_DIFFERS',
        'Is 1.3 s shorter than the longest of its group. What both hold is measured; check that the export was complete.',
      ],
    ])
  })

  test('the same recording by another name, unless other channels of it are taken', () => {
    const copy = (recipe: object = {}, scan: object = {}) =>
      warned([
        trackOf(file('a'), { sha256: 'same' }),
        b,
        trackOf(file('c', {}, recipe), { sha256: 'same', ...scan }),
      ])
    expect(copy()).toEqual([
      [
        'c',
        'COPY_OF_ANOTHER',
        'Holds the same recording as a. In a blend it only makes that one louder; name the file that was meant.',
      ],
    ])
    expect(copy({ selection: { kind: 'pick', index: 1 } })).toEqual([])
    expect(copy({}, { silent: true })).toEqual([])
    expect(copy({}, { sha256: 'other' })).toEqual([])
  })
})

describe('starts by the time stamps', () => {
  const stamped = (offset: number, contradicted: readonly number[] = []) =>
    warned([a, b], [], { stamped: [0, offset], contradicted })

  test('are told with their side, unless the sound contradicts them', () => {
    expect(stamped(480)).toEqual([
      [
        'b',
        'START_DIFFERS',
        'Starts 480 frames (10.0 ms) later than the reference by its time stamp. That was taken off before measuring; the lag is what is left.',
      ],
    ])
    expect(stamped(-24)[0]![2]).toMatch(/^Starts 24 frames \(0\.5 ms\) earlier than the reference/)
    expect(stamped(-24000, [1])).toEqual([
      [
        'b',
        'STAMP_CONTRADICTED',
        'By its time stamp this file starts 500.0 ms earlier than the reference, but the sound lines up without that. The stamp was left out; correct it, or export all files again from one start.',
      ],
    ])
    expect(stamped(24000, [1])[0]![2]).toContain('500.0 ms later')
  })

  test('count only where both have one', () => {
    const at = (own: number | null, other: number | null) =>
      stampOffset(
        trackOf(file('b', {}, { facts: { stampSamples: own } })),
        trackOf(file('a', {}, { facts: { stampSamples: other } })),
      )
    expect([at(500, 20), at(null, 20), at(500, null), at(20, 500)]).toEqual([480, 0, 0, -480])
  })
})

describe('a lag that changes', () => {
  const lagOverTime = [0, 100].map(atSeconds => ({ atSeconds, lagSamples: 0, uncertaintySamples: 1 }))

  test('by a drift of more than 0.02 ms over the take, or by steps', () => {
    const drifts = (ppm: number) =>
      warned([a, b], [{}, { drift: { ppm, uncertaintyPpm: 0.01 }, lagOverTime }])
    expect(drifts(-0.2)).toEqual([])
    expect(drifts(-2.345)).toEqual([
      [
        'b',
        'DRIFT',
        'Drifts by −2.35 ppm against the reference, 0.23 ms over the take: two clocks that are not locked, or a stand that creeps. The lag told is that at the first sound; follow: drift corrects it. For the next take lock all devices to one word clock.',
      ],
    ])
    const steps = [
      { atSeconds: 12.34, fromLagSamples: 100, toLagSamples: 52 },
      { atSeconds: 20, fromLagSamples: 52, toLagSamples: 76 },
    ]
    expect(warned([a, b], [{}, { steps }])).toEqual([
      [
        'b',
        'STEP',
        'The lag changes by −1.00 ms at 12.3 s: a stand that was moved, a punch-in, or lost samples. The lag told is that of the longest stretch; follow: steps corrects all, pieces: measures each stretch by itself, or name one stretch (passage:).',
      ],
      ['b', 'STEP', expect.stringContaining('changes by +0.50 ms at 20.0 s') as string],
    ])
  })
})

describe('the reference is the one that is the wrong way round', () => {
  const turned = (...polarities: readonly ('normal' | 'inverted' | 'unsure')[]) =>
    warned(
      [a, ...polarities.map((_, i) => trackOf(file(`s${i}`)))],
      [
        {},
        ...polarities.map(polarity =>
          polarity === 'unsure'
            ? ({ polarity: 'inverted', polarityVerdict: 'unsure' } as const)
            : ({ polarity, polarityVerdict: 'sure' } as const),
        ),
      ],
    )

  test('where most of the others, two at least, are surely inverted against it', () => {
    expect(turned('inverted', 'inverted')).toEqual([
      [
        'a',
        'REFERENCE_POLARITY',
        '2 of 2 sources are inverted against a: most likely it is a itself that is the wrong way round. The others are turned to fit it; turn it in the recipe (polarity: inverted) if the punch should go the other way.',
      ],
    ])
    expect(turned('inverted')).toEqual([])
    expect(turned('inverted', 'inverted', 'normal')).toHaveLength(1)
    expect(turned('inverted', 'inverted', 'normal', 'normal')).toEqual([])
    expect(turned('inverted', 'unsure', 'unsure')).toEqual([])
  })

  test('not where the recipe turns it already', () => {
    const reference = trackOf(file('a', {}, { polarity: 'inverted' }))
    const others = ['b', 'c'].map(name => trackOf(file(name)))
    const inverted = { polarity: 'inverted', polarityVerdict: 'sure' } as const
    expect(warned([reference, ...others], [{}, inverted, inverted])).toEqual([])
  })
})
