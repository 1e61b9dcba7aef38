import { describe, expect, test } from 'vitest'
import type { PooledTake, SongMeasurement, SourceMeasurement } from '../../../src/measure/measurement.js'
import { type OtherTake, poolTakes } from '../../../src/measure/takes/pool-takes.js'
import { poolWarnings, takeName } from '../../../src/measure/takes/pool-words.js'
import type { Session, SessionGroup } from '../../../src/recipe/session.js'
import { file } from '../../decide/setting/song.js'

/* Several takes as one: which are taken, what it changes, and what is said word for word. */

const RATE = 48000
const group = { name: 'g', reference: 'a', sampleRateHz: RATE, setup: 'studio' } as unknown as SessionGroup

const lagOf = (lagSamples: number, more: Partial<SourceMeasurement> = {}): SourceMeasurement =>
  file('b', {
    lagSamples,
    lagUncertaintySamples: 0.1,
    arrivalSpreadSamples: 0.1,
    candidates: [
      { aim: 'fullness', lagSamples: 7, polarity: 'normal', score: 0.9 },
      { aim: 'arrival', lagSamples, polarity: 'normal', score: 0.8 },
      { aim: 'arrival', lagSamples: 200, polarity: 'normal', score: 0.4 },
    ],
    ...more,
  }).measured

const groupOf = (source: SourceMeasurement) => ({
  ...{ name: 'g', reference: 'a', sampleRateHz: RATE, closureSamples: null },
  sources: [file('a').measured, source],
})

const take = (name: string, lagSamples: number | null, more: Partial<OtherTake> = {}): OtherTake => ({
  ...{
    song: 'Lantern Street',
    take: name,
    groups: new Set(['g']),
    sounds: new Map([['g/b', `sound ${name}`]]),
  },
  measured: lagSamples === null ? null : [groupOf(lagOf(lagSamples))],
  ...more,
})

const pooled = (
  own: SourceMeasurement,
  others: readonly OtherTake[],
  of: SessionGroup = group,
): {
  readonly source: SourceMeasurement
  readonly warnings: readonly string[]
  readonly song: SongMeasurement
} => {
  const session = {
    song: 'Lantern Street',
    take: '1',
    groups: [of],
    temperatureCelsius: 20,
  } as unknown as Session
  const measurement = { groups: [groupOf(own)], warnings: [{ code: 'FORMER' }] } as unknown as SongMeasurement
  const song = poolTakes(session, measurement, new Map([['g/b', 'sound 1']]), others)
  expect(song.warnings[0]).toEqual({ code: 'FORMER' })
  const [reference, source] = song.groups[0]!.sources
  expect(reference).toBe(measurement.groups[0]!.sources[0])
  return { source: source!, warnings: song.warnings.slice(1).map(({ message }) => message), song }
}
const statesOf = ({ pooled: told }: SourceMeasurement): string[] => told!.takes.map(({ state }) => state)

describe('takes between which nothing was moved', () => {
  test('give one lag, the mean of equals, which takes the place of the arrival; what follows from it too', () => {
    const own = lagOf(100)
    const { source, warnings } = pooled(own, [take('2', 100.1), take('3', 100.2)])
    expect(warnings).toEqual([])
    expect(source.lagSamples).toBeCloseTo(100.1, 6)
    expect(source.lagMs).toBeCloseTo(100.1 / 48, 6)
    expect(source.distanceMetres).toBeCloseTo((100.1 / RATE) * 343.2146, 4)
    expect(source.lagUncertaintySamples).toBe(source.pooled!.uncertaintySamples)
    expect(source.lagUncertaintySamples!).toBeLessThan(0.1)
    expect(source.candidates.map(({ lagSamples }) => lagSamples)).toEqual([7, source.lagSamples, 200])
    expect(source.pooled).toMatchObject({ used: true, lagSamples: source.lagSamples })
    expect(statesOf(source)).toEqual(['pooled', 'pooled', 'pooled'])
    expect(source.pooled!.takes.map(({ take: name, isThis }) => [name, isThis])).toEqual([
      ['1', true],
      ['2', false],
      ['3', false],
    ])
  })

  test('leave alone a group without a setup, or without other takes of it', () => {
    const own = lagOf(100)
    const others = [take('2', 100.1), take('3', 100.2)]
    expect(pooled(own, others, { ...group, setup: null }).source).toBe(own)
    expect(pooled(own, []).source).toBe(own)
    expect(
      pooled(
        own,
        others.map(other => ({ ...other, groups: new Set(['h']) })),
      ).source,
    ).toBe(own)
  })

  test('count a recording once, and tell those that are missing or of another group', () => {
    const same = take('2', 100.1, { sounds: new Map([['g/b', 'sound 1']]) })
    const again = take('4', 100.2, { sounds: new Map([['g/b', 'sound 3']]) })
    const unknown = take('5', 100.2, { sounds: new Map() })
    const { source } = pooled(lagOf(100), [same, take('3', 100.2), again, take('6', null), unknown])
    expect(statesOf(source)).toEqual(['pooled', 'same', 'pooled', 'same', 'pooled', 'missing'])
    const elsewhere = (change: object): string[] =>
      statesOf(
        pooled(lagOf(100), [
          take('2', 100.1, { measured: [{ ...groupOf(lagOf(100.1)), ...change }] }),
          take('3', 100.2),
        ]).source,
      )
    expect(elsewhere({})).toEqual(['pooled', 'pooled', 'pooled'])
    for (const change of [{ name: 'h' }, { reference: 'c' }, { sampleRateHz: 44100 }, { sources: [] }])
      expect(elsewhere(change)).toEqual(['pooled', 'missing', 'pooled'])
  })

  test('of which one was moved: that one is odd, and told', () => {
    const { source, warnings } = pooled(lagOf(100), [take('2', 100.1), take('3', 148)])
    expect(statesOf(source)).toEqual(['pooled', 'pooled', 'odd'])
    expect(warnings).toHaveLength(1)
    expect(warnings[0]).toMatch(
      /^Take 3 is odd: it is \+0\.99\d ms \(\+4[78]\.\d frames, 34\.\d cm of air\) beside the lag that the 2 others agree on\. It is left out\. If something was moved before it, take it off the list \(takes:, setup:\); if not, listen to it\.$/,
    )
  })

  test('of which this one was moved keeps its own', () => {
    const { source, warnings } = pooled(lagOf(148), [take('2', 100), take('3', 100.1)])
    expect(source).toMatchObject({ lagSamples: 148, pooled: { used: false } })
    expect(warnings[0]).toMatch(
      /^Take 1 is odd: .* beside the lag that the 2 others agree on\. It keeps its own lag\. /,
    )
  })
})

describe('what is said of takes', () => {
  const one = (more: Partial<PooledTake>): PooledTake => ({
    ...{ song: 'Lantern Street', take: '2', isThis: false, state: 'odd' as const, lagSamples: 96 },
    ...{ lagUncertaintySamples: 0.1, polarity: 'normal' as const, differsSamples: 48 },
    ...more,
  })
  const present = one({ take: '1', isThis: true, state: 'pooled' })

  test('by their names, with the song where that is another', () => {
    expect(takeName(one({}), present)).toBe('take 2')
    expect(takeName(one({ song: 'Harbour' }), present)).toBe('Harbour, take 2')
    expect(takeName(one({ song: 'Harbour', take: null }), present)).toBe('Harbour')
    expect(takeName(one({ take: null }), present)).toBe('the present take')
  })

  const told = (takes: readonly PooledTake[], lagSamples: number | null) =>
    poolWarnings(
      group,
      file('b').measured,
      { lagSamples, uncertaintySamples: null, scatterSamples: null, used: lagSamples !== null, takes },
      20,
    ).map(({ code, group: name, source, message }) => {
      expect([name, source]).toEqual(['g', 'b'])
      return [code, message]
    })

  test('one that is the other way round', () => {
    const agreeing = [present, one({ take: '3', state: 'pooled' })]
    expect(told([...agreeing, one({ polarity: 'inverted' })], 100)).toEqual([
      [
        'ODD_TAKE',
        'Take 2 is odd: it is inverted, and the 2 others agree that it is the other way round. It is left out. If something was moved before it, take it off the list (takes:, setup:); if not, listen to it.',
      ],
    ])
    const inverted = agreeing.map(take => ({ ...take, polarity: 'inverted' as const }))
    expect(told([...inverted, one({})], 100)[0]![1]).toContain('it is not inverted, and the 2 others agree')
    expect(told([...agreeing, one({ song: 'Harbour', differsSamples: -48 })], 100)[0]![1]).toMatch(
      /^Harbour, take 2 is odd: it is −1\.000 ms \(−48\.0 frames, 34\.3 cm of air\) beside/,
    )
  })

  test('that they do not agree', () => {
    const apart = [
      one({ take: '1', isThis: true, lagSamples: 96 }),
      one({ lagSamples: 144, polarity: 'inverted' }),
      one({ take: '3', lagSamples: -48 }),
    ]
    expect(told(apart, null)).toEqual([
      [
        'TAKES_DISAGREE',
        'The takes do not agree on one lag (take 1 +2.000 ms, take 2 +3.000 ms inverted and take 3 −1.000 ms), and not more than half of them do: something was moved. Each keeps its own; list only takes of one setup (takes:, setup:).',
      ],
    ])
    expect(told(apart.slice(0, 1), null)).toEqual([])
  })
})
