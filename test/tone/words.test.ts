import { describe, expect, test } from 'vitest'
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
