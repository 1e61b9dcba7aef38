import { describe, expect, test } from 'vitest'
import { type AdviceFacts, adviceText } from '../../../src/measure/advice/advice-words.js'

/* Word for word, and at the limits: the one line before the next take (found by `npm run mutants`). */

type Told = Exclude<AdviceFacts, { kind: 'slate' }>

const facts: Told = {
  kind: 'move',
  reference: 'top',
  lateMetres: 0.15,
  distanceMetres: null,
  inverted: false,
  tolerance: null,
  tones: [],
}
const told = (change: Partial<Told>): string => adviceText({ ...facts, ...change })
const tone = (note: string, halfWavelengths: number, lossDb: number) => ({
  note,
  frequencyHz: 220,
  halfWavelengths,
  lossDb,
})

test('a slate, or nothing at all', () => {
  expect(adviceText({ kind: 'slate' })).toBe(
    'play a slate once through all paths (sumwell slate) and let the recipe find it (align: slate: true)',
  )
  expect(told({ kind: 'keep' })).toBe('nothing to change')
})

describe('two microphones that could be set alike', () => {
  test('late: closer, or the other back; where there is no room, the other back', () => {
    expect(told({})).toBe('move it 15 cm closer, or top back by that, and they arrive together')
    expect(told({ distanceMetres: 0.154 })).toContain('15 cm closer')
    expect(told({ distanceMetres: 0.152 })).toBe('move top 15 cm back and they arrive together')
  })

  test('early: back; within a hand or the tolerance: leave them', () => {
    expect(told({ lateMetres: -0.15 })).toBe('move it 15 cm back and it arrives with top')
    expect(told({ lateMetres: -0.003 })).toBe('it arrives with top: leave both where they are')
    expect(told({ lateMetres: 0.0031 })).toContain('0.3 cm closer')
    const tolerance = { metres: 0.15, celsius: null, hz: 640 }
    expect(told({ tolerance })).toBe(
      'it arrives with top: leave both where they are; from take to take keep the stands within 15 cm (1 dB at 640 Hz)',
    )
  })

  test('inverted first, and the room where its warmth matters', () => {
    expect(
      told({ inverted: true, lateMetres: 1.234, tolerance: { metres: 0.026, celsius: 2.96, hz: 6400 } }),
    ).toBe(
      'turn its polarity over at the preamp; move it 1.23 m closer, or top back by that, and they arrive together; ' +
        'from take to take keep the stands within 2.6 cm and the room within 3.0 °C (1 dB at 6.4 kHz)',
    )
    expect(told({ tolerance: { metres: 0.1, celsius: 13.2, hz: 999 } })).toContain(
      'within 10 cm and the room within 13 °C (1 dB at 999 Hz)',
    )
  })
})

describe('paths that keep their lag', () => {
  const keep = (...tones: Told['tones']) => told({ kind: 'keep', lateMetres: -0.69, tones })

  test('the tone that suffers most, from 3 dB on', () => {
    expect(keep(tone('A3', 1.1, 9), tone('E1', 2, 5))).toBe(
      '69 cm are about half a wavelength of A3 (220 Hz), which suffers most unless lined up',
    )
    expect(keep(tone('A3', 2.2, 4), tone('E1', 1, 12))).toContain('half a wavelength of E1')
    expect(keep(tone('A3', 2.2, 4))).toContain('about one wavelength of A3')
    expect(keep(tone('A3', 2.6, 4))).toContain('about 1.5 wavelengths of A3')
    expect(keep(tone('A3', 0.4, 4))).toBe(
      '69 cm are little beside the wavelength of A3 (220 Hz), which suffers most unless turned over',
    )
    expect(keep(tone('A3', 1, 3))).toContain('A3')
    expect(keep(tone('A3', 1, 2.99))).toBe('nothing to change')
  })
})
