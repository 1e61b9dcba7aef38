import { expect, test } from 'vitest'
import { cleanName } from '../../src/recipe/words/clean-name.js'
import { clockText, stretchOf } from '../../src/recipe/words/passage.js'
import {
  celsiusOf,
  metresOf,
  QUANTITIES,
  type QuantityKind,
  quantityMistake,
  quantityOf,
  samplesOf,
  secondsOf,
} from '../../src/recipe/words/quantity.js'
import { singleStem, stemFileName } from '../../src/recipe/words/stem-name.js'

test('quantities are read exactly', () => {
  const cases: readonly (readonly [QuantityKind, string, number, string])[] = [
    ['time', '40 ms', 40, 'ms'],
    ['time', '0.5 s', 0.5, 's'],
    ['time', '101 samples', 101, 'samples'],
    ['time', '1 sample', 1, 'samples'],
    ['time', '40ms', 40, 'ms'],
    ['signedTime', '-3.25 ms', -3.25, 'ms'],
    ['signedTime', '+3 ms', 3, 'ms'],
    ['length', '25 cm', 25, 'cm'],
    ['gain', '-9 dB', -9, 'dB'],
    ['truePeak', '-1 dBTP', -1, 'dBTP'],
    ['temperature', '-5.5 C', -5.5, 'C'],
  ]
  for (const [kind, text, value, unit] of cases) expect(quantityOf(kind, text)).toEqual({ value, unit })
  expect(cases).toHaveLength(11)
  expect(Object.is(quantityOf('gain', '-0 dB')!.value, 0)).toBe(true)
})

test('what is no quantity of its kind is null', () => {
  for (const text of [
    '40',
    '40 m',
    'ms',
    '',
    '40  ms',
    '-40 ms',
    '1e3 ms',
    '40 MS',
    '4 0 ms',
    '40 ms ',
    '.5 ms',
    '1,5 ms',
  ]) {
    expect([text, quantityOf('time', text)]).toEqual([text, null])
  }
})

test('the nearest quantity of a mistake is itself one', () => {
  const typed = [
    '40',
    '40 msec',
    '.5 s',
    '1,5 ms',
    '12 dBFS',
    '3 db',
    '20 \u00b0C',
    '7 feet',
    '2 metres',
    '\u22123 ms',
    '1 smp',
  ]
  let proposals = 0
  for (const kind of Object.keys(QUANTITIES) as QuantityKind[]) {
    for (const text of typed) {
      const { nearest } = quantityMistake(kind, text)
      if (nearest === null) continue
      proposals++
      expect([kind, text, quantityOf(kind, nearest)]).not.toEqual([kind, text, null])
    }
    expect(quantityOf(kind, quantityMistake(kind, 3).nearest!)).toMatchObject({ value: 3 })
  }
  expect(proposals).toBeGreaterThan(20)
})

test('times, lengths and temperatures convert by definition', () => {
  expect(secondsOf({ value: 40, unit: 'ms' }, null)).toBe(0.04)
  expect(secondsOf({ value: 480, unit: 'samples' }, 48000)).toBe(0.01)
  expect(secondsOf({ value: 480, unit: 'samples' }, null)).toBeNull()
  expect(samplesOf({ value: 101, unit: 'samples' }, null)).toBe(101)
  expect(samplesOf({ value: 0.5, unit: 's' }, 44100)).toBe(22050)
  // 1 in = 25.4 mm, 1 ft = 12 in: exact by definition
  expect(metresOf({ value: 1, unit: 'in' })).toBe(0.0254)
  expect(metresOf({ value: 1, unit: 'ft' })).toBeCloseTo(12 * 0.0254, 15)
  expect(metresOf({ value: 25, unit: 'cm' })).toBe(0.25)
  // 68 F = 20 C, 32 F = 0 C
  expect(celsiusOf({ value: 68, unit: 'F' })).toBe(20)
  expect(celsiusOf({ value: 32, unit: 'F' })).toBe(0)
})

test('passages in minutes and hours', () => {
  expect(stretchOf('0:12-0:20')).toEqual({ startSeconds: 12, endSeconds: 20 })
  expect(stretchOf('1:02:03.5-1:02:40')).toEqual({ startSeconds: 3723.5, endSeconds: 3760 })
  expect(stretchOf('75:00 - 75:30')).toEqual({ startSeconds: 4500, endSeconds: 4530 })
  for (const text of [
    '12-20',
    '0:12',
    '0:72-0:80',
    '1:60:00-2:00:00',
    '0:12-',
    '0:12--0:20',
    '-0:12-0:20',
    '',
  ]) {
    expect([text, stretchOf(text)]).toEqual([text, null])
  }
})

test('a time for people reads back as itself and never lies beyond', () => {
  expect([0, 29.5, 61.25, 3723.5, 29.9999].map(clockText)).toEqual([
    '0:00',
    '0:29.5',
    '1:01.25',
    '1:02:03.5',
    '0:29.999',
  ])
  for (const seconds of [0.001, 12.345, 600, 3599.999]) {
    expect(stretchOf(`0:00-${clockText(seconds)}`)!.endSeconds).toBeCloseTo(seconds, 9)
  }
})

test('names become letters, digits and single underscores', () => {
  const cases: Readonly<Record<string, string>> = {
    'Lantern Street': 'lantern_street',
    'bass-roomy': 'bass_roomy',
    '../x': 'x',
    '..': '',
    '/etc/passwd': 'etc_passwd',
    'C:\\x': 'c_x',
    'Größe ÆØŁ': 'grosse_aeol',
    'Ångström No. 5': 'angstrom_no_5',
    'I\u0307stanbul': 'istanbul',
    ｆｕｌｌ: 'full',
    ガ行: 'ガ行',
    हिन्दी: 'हिन्दी',
    __a__b__: 'a_b',
    '\u0000\u202e': '',
    '\u{1f3b8}': '',
  }
  for (const [text, name] of Object.entries(cases)) expect([text, cleanName(text)]).toEqual([text, name])
})

test('stem names as the format gives them', () => {
  const words = { song: 'Lantern Street', take: '4', group: 'upright-bass', stem: 'bass-roomy' }
  expect(stemFileName('{song}_{stem}', words)).toBe('lantern_street_bass_roomy.wav')
  const single = { ...words, stem: singleStem('upright-bass', 'bridge') }
  expect(stemFileName('{song}_{stem}', single)).toBe('lantern_street_upright_bass_bridge.wav')
  expect(stemFileName('{group} T{take} {stem} {other}', words)).toBe('upright_bass_t4_bass_roomy_other.wav')
  expect(stemFileName('{stem}', { ...words, stem: 'CON' })).toBe('con_.wav')
  expect(stemFileName('{song}/../{stem}', { ...words, song: '../..', stem: '/' })).toBe('.wav')
})
