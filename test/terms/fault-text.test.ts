import { expect, test } from 'vitest'
import { type Fault, fault } from '../../src/terms/fault.js'
import { faultText } from '../../src/terms/fault-text.js'

const at = (sourceLine: string, column: number, length: number, more: Partial<Fault> = {}): Fault =>
  fault('RECIPE_UNIT', '40 has no unit', {
    place: { file: 'song.yaml', line: 17, column, length, sourceLine },
    ...more,
  })

test('code, place, line, caret, nearest spelling, expectation and mend', () => {
  const whole = at('      search: 40', 15, 2, { expected: 'a time', nearest: '40 ms', mend: 'write 40 ms' })
  expect(faultText(whole).split('\n')).toEqual([
    'song.yaml:17:15  RECIPE_UNIT  40 has no unit',
    '17 |       search: 40',
    '   |               ^^',
    '   |               40 ms ?',
    'expected a time',
    'to mend: write 40 ms',
  ])
})

test('a fault without a place names its file, one without a file only its code', () => {
  expect(faultText(fault('WRITE_DISK_FULL', 'no room', { file: 'stems/a.wav', mend: 'make room' }))).toBe(
    'stems/a.wav  WRITE_DISK_FULL  no room\nto mend: make room',
  )
  expect(faultText(fault('INTERRUPTED', 'stopped'))).toBe('INTERRUPTED  stopped')
})

test('tabs stay tabs, so that the caret stays under its text at any tab width', () => {
  const [, source, caret] = faultText(at('\ta:\t40', 5, 2)).split('\n')
  expect(source).toBe('17 | \ta:\t40')
  expect(caret).toBe('   | \t  \t^^')
})

test('wide and combining characters are counted in columns', () => {
  const [, , caret] = faultText(at('曲: e\u0301 \u{1f3b8} 40', 9, 2)).split('\n')
  // 曲 2, colon 1, space 1, e 1, accent 0, space 1, guitar 2, space 1
  expect(caret).toBe(`   | ${' '.repeat(9)}^^`)
  const [, , wide] = faultText(at('曲曲 x', 1, 2)).split('\n')
  expect(wide).toBe('   | ^^^^')
})

test.each([0, 50, 150, 299])('a line of 300 characters is clipped around a place at %i', position => {
  const line = `${'a'.repeat(position)}XY${'b'.repeat(300)}`.slice(0, 300)
  const [, source, caret] = faultText(at(line, position + 1, 2), { width: 80 }).split('\n')
  expect(source!.length).toBeLessThanOrEqual(80)
  expect(caret!.length).toBeLessThanOrEqual(80)
  const start = caret!.indexOf('^')
  expect(source!.slice(start, start + 1)).toBe('X')
  expect(source!.includes('\u2026')).toBe(true)
})

test('what could steer a terminal is replaced', () => {
  const evil = at('song: \u001b[2J\u202e', 7, 3, { nearest: '\u001b]0;x\u0007', mend: 'no\nline' })
  const text = faultText({ ...evil, message: 'a\rb' })
  expect(text.replace(/\n/g, '')).not.toMatch(/[\u0000-\u001f\u202e]/)
  expect(text.split('\n')).toHaveLength(5)
})

test('colours only where asked for', () => {
  const one = at('a: 40', 4, 2, { nearest: '40 ms' })
  const codes = /\u001b\[\d+m/g
  expect(faultText(one)).not.toMatch(codes)
  const coloured = faultText(one, { colour: true })
  expect(coloured.match(codes)!.length).toBeGreaterThan(6)
  expect(coloured.replace(codes, '')).toBe(faultText(one))
})

test('a place at the end of a line, or in an empty file, still gets its caret', () => {
  expect(
    faultText(at('', 1, 1))
      .split('\n')
      .slice(1),
  ).toEqual(['17 |', '   | ^'])
  expect(
    faultText(at('a:', 3, 1))
      .split('\n')
      .slice(1),
  ).toEqual(['17 | a:', '   |   ^'])
})

test('what would be unseen or act is written out, and the caret still stands under its text', () => {
  const [, source, caret, expected] = faultText(
    at('a\u202eb\u001b: 40', 7, 2, { expected: 'no \u200bunit' }),
  ).split('\n')
  expect(expected).toBe('expected no [U+200B]unit')
  expect(source).toBe('17 | a[U+202E]b[U+001B]: 40')
  expect(caret?.indexOf('^')).toBe(source?.indexOf('40'))
})
