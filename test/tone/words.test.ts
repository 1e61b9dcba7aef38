import { describe, expect, test } from 'vitest'
import { neighbourWarnings, whenLost } from '../../src/tone/neighbours/neighbour-warnings.js'
import type { NeighbourLoss } from '../../src/tone/neighbours/neighbours.js'
import { toneWords } from '../../src/tone/predict/tone-words.js'

const bands = (...changes: readonly (number | null)[]) =>
  changes.map((changeDb, i) => ({
    name: ['sub', 'low end', 'low mids', 'mids', 'presence'][i]!,
    fromHz: [25, 60, 250, 800, 2500][i]!,
    toHz: [60, 250, 800, 2500, 6000][i]!,
    changeDb,
  }))

const tone = {
  bands: bands(0, 4.12, 0.1, 0, null),
  firstNotchBeforeHz: 251.4 as number | null,
  firstNotchAfterHz: null as number | null,
  evennessBeforeDb: 5.21 as number | null,
  evennessAfterDb: 0.79 as number | null,
  broadbandChangeDb: 2 as number | null,
}

describe('what changed, in words', () => {
  test('the example of the design', () => {
    expect(toneWords(tone, true, null)).toBe(
      'low end 60–250 Hz: +4.1 dB; first notch 251 Hz gone; evenness 5.2 → 0.8 dB',
    )
  })

  test('the three bands that change most, in the order of frequency', () => {
    const words = toneWords(
      { ...tone, bands: bands(-0.6, 2, -3.25, 0.55, 1), firstNotchBeforeHz: null, evennessBeforeDb: null },
      true,
      null,
    )
    expect(words).toBe(
      'low end 60–250 Hz: +2.0 dB; low mids 250–800 Hz: −3.3 dB; presence 2.5–6 kHz: +1.0 dB',
    )
  })

  test.each([
    [251, 1234, 'first notch 251 Hz → 1.2 kHz'],
    [null, 90, 'first notch 90 Hz is new'],
    [251, 255, 'lined up; no band changes by 0.5 dB or more, no notch comes or goes'],
  ])('first notch %s then %s', (before, after, expected) => {
    const still = { ...tone, bands: bands(0), evennessBeforeDb: 1, evennessAfterDb: 1.1 }
    expect(toneWords({ ...still, firstNotchBeforeHz: before, firstNotchAfterHz: after }, true, null)).toBe(
      expected,
    )
  })

  test('as recorded, silent, and an echo', () => {
    expect(toneWords(tone, false, null)).toBe('nothing changed: as recorded')
    expect(toneWords({ ...tone, broadbandChangeDb: null }, true, null)).toBe('silent')
    expect(
      toneWords({ ...tone, bands: [], firstNotchBeforeHz: null, evennessAfterDb: null }, true, {
        source: 'reamp',
        ms: 312.4,
      }),
    ).toBe('reamp was 312 ms away, an echo: now one sound')
  })
})

describe('what two groups take from each other, in words', () => {
  const loss = (centreHz: number, lossDb: number, more: Partial<NeighbourLoss> = {}): NeighbourLoss => ({
    ...{ groups: ['bass', 'drums'] as const, centreHz, lossDb, fromSeconds: 21, toSeconds: 42 },
    ...{ fromBar: 9, toBar: 16, ...more },
  })
  const told = (...losses: NeighbourLoss[]): string[] =>
    neighbourWarnings({ voices: [], otherRates: [], thirdOctaves: [], losses }).map(({ message }) => message)

  test('the worst of each pair, and in how many third octaves', () => {
    expect(
      told(
        loss(99.8, 3.21),
        loss(126, 2),
        loss(126, 1.5, { fromSeconds: 0 }),
        loss(500, 1.1, { groups: ['bass', 'horns'] }),
      ),
    ).toEqual([
      'Together with drums it loses 3.2 dB around 100 Hz in bars 9–16 (0:21–0:42) (2 third octaves lose more than 1 dB): each group was lined up in itself, and what bleeds from one into the other no longer meets as it was recorded. Listen to both together there; if it disturbs, turn down or leave out the microphone that bleeds, or give that source `lag: as-recorded`.',
      expect.stringMatching(
        /^Together with horns it loses 1\.1 dB around 500 Hz in bars 9–16 \(0:21–0:42\): each/,
      ),
    ])
    expect(neighbourWarnings(null)).toEqual([])
  })

  test('when: bars where there are any', () => {
    const when = (more: Partial<NeighbourLoss>): string => whenLost(loss(100, 2, more))
    expect([when({}), when({ toBar: 9 }), when({ fromBar: null, toBar: null })]).toEqual([
      'in bars 9–16 (0:21–0:42)',
      'in bar 9 (0:21–0:42)',
      'at 0:21–0:42',
    ])
  })
})
