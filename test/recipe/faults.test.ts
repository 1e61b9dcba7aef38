import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { FAULT_CODES } from '../../src/terms/fault-codes.js'
import { faultText } from '../../src/terms/fault-text.js'
import { FAULT_CASES, type FaultCase } from './fault-cases.js'
import { faultsOf, loadFile, testFolder, underCaret } from './recipe-room.js'

const withoutMarks = (text: string): string => text.replace(/[«»]/g, '')

/** Line, column and text of what stands between the marks. */
const markedPlace = (text: string): { line: number; column: number; marked: string } => {
  const start = text.indexOf('«')
  const before = text.slice(0, start).split('\n')
  return {
    line: before.length,
    column: Array.from(before.at(-1)!).length + 1,
    marked: text.slice(start + 1, text.indexOf('»')),
  }
}

const titleOf = ({ code, recipe }: FaultCase): string =>
  `${code} ${JSON.stringify(recipe.split('\n').find(line => line.includes('«')) ?? recipe).slice(0, 60)}`

test.each(FAULT_CASES.map(one => [titleOf(one), one] as const))('%s', async (_title, one) => {
  const beside = Object.fromEntries(
    Object.entries(one.beside ?? {}).map(([name, text]) => [name, withoutMarks(text)]),
  )
  const found = await faultsOf(withoutMarks(one.recipe), { ...one, beside })
  expect(found.map(({ code, message }) => `${code} ${message}`)).toHaveLength(1)
  const [fault] = found
  expect(fault?.code).toBe(one.code)
  const text = one.inFile === undefined ? one.recipe : one.beside![one.inFile]!
  if (text.includes('«')) {
    const { line, column, marked } = markedPlace(text)
    expect({ line: fault!.place!.line, column: fault!.place!.column, marked: underCaret(fault!) }).toEqual({
      line,
      column,
      marked,
    })
    expect(fault!.place!.file.endsWith(one.inFile ?? 'song.yaml')).toBe(true)
  }
  expect(fault!.nearest).toBe(one.nearest ?? null)
  expect(fault!.mend).not.toBeNull()
  expect(fault!.message).not.toMatch(/undefined|\[object|\.$/)
  expect(faultText(fault!)).toContain(fault!.code)
})

/** Faults of files that cannot be written as a text with a mark; each has its own test below or in text.test.ts. */
const ELSEWHERE = [
  'RECIPE_UNREADABLE',
  'RECIPE_TOO_LARGE',
  'RECIPE_NOT_UTF8',
  'RECIPE_FOLDER_TWICE', // of several recipes in one call: test/cli
]

test('every fault of a recipe is provoked', () => {
  const provoked = new Set<string>(FAULT_CASES.map(({ code }) => code))
  const missing = FAULT_CODES.filter(code => code.startsWith('RECIPE_') && !provoked.has(code))
  expect(missing).toEqual(ELSEWHERE)
})

test('a recipe that is not there, or a folder, is RECIPE_UNREADABLE without a place', async () => {
  const folder = testFolder()
  mkdirSync(join(folder, 'folder.yaml'))
  for (const name of ['nothing.yaml', 'folder.yaml', 'nothing/song.yaml']) {
    const path = join(folder, name)
    await expect(loadFile(path)).rejects.toMatchObject({
      faults: [{ code: 'RECIPE_UNREADABLE', file: path, place: null }],
    })
  }
})

test('a recipe over 256 KiB is refused before it is parsed; one of just that size is not', async () => {
  const comment = `#${'x'.repeat(262143 - 50)}\n`
  const most = `${comment}recipe: 1`.padEnd(262144, '\n')
  expect(most).toHaveLength(262144)
  expect((await faultsOf(most)).map(({ code }) => code)).not.toContain('RECIPE_TOO_LARGE')
  expect(await faultsOf(`${most}\n`)).toMatchObject([{ code: 'RECIPE_TOO_LARGE', place: null }])
})

test('a character that is not UTF-8 is shown with its line and column', async () => {
  const latin1 = Buffer.from('recipe: 1\nsong: Gr\u00fc\u00dfe\n', 'latin1')
  const found = await faultsOf(latin1)
  expect(found).toMatchObject([{ code: 'RECIPE_NOT_UTF8', place: { line: 2, column: 9 } }])
  expect(await faultsOf(Buffer.from('\ufefft', 'utf16le'))).toMatchObject([{ code: 'RECIPE_NOT_UTF8' }])
})

test('all faults come at once, in the order of file, line and column', async () => {
  const found = await faultsOf(
    `recipe: 1
song: Test
tempo: fast
unknown: 1
base: album.yaml
groups:
  bass:
    reference: peizo
    sources: { piezo: ../a.wav, bridge: { file: b.wav, via: pikup } }
    align: { search: 40, passage: [0:20-0:10] }
    blends: { sum: { parts: { piezo: 1, bridge: 0 dB } } }
`,
    { beside: { 'album.yaml': 'recipe: 1\ntemperature: 20\ndeliver: { depth: 12 }\n' } },
  )
  expect(
    found.map(one => [one.place?.file.replace(/.*\//, ''), one.place?.line, underCaret(one), one.code]),
  ).toEqual([
    ['album.yaml', 2, '20', 'RECIPE_UNIT'],
    ['album.yaml', 3, '12', 'RECIPE_VALUE'],
    ['song.yaml', 3, 'fast', 'RECIPE_TYPE'],
    ['song.yaml', 4, 'unknown', 'RECIPE_UNKNOWN_KEY'],
    ['song.yaml', 8, 'peizo', 'RECIPE_REFERENCE'],
    ['song.yaml', 9, '../a.wav', 'RECIPE_OUTSIDE'],
    ['song.yaml', 9, 'pikup', 'RECIPE_VALUE'],
    ['song.yaml', 10, '40', 'RECIPE_UNIT'],
    ['song.yaml', 10, '0:20-0:10', 'RECIPE_PASSAGE'],
    ['song.yaml', 11, '0 dB', 'RECIPE_SHARES_AND_DB'],
  ])
})

test('what follows from a fault is not told as one of its own', async () => {
  const codes = async (text: string): Promise<unknown> =>
    (await faultsOf(text)).map(fault => [fault.code, underCaret(fault)])
  const whole = (sources: string, rest = ''): string =>
    `recipe: 1\nsong: a\ngroups: { g: { reference: p, sources: ${sources} } }\n${rest}`
  // the bad key may be the reference, the part or the stem that seems to be missing
  const badKey = whole('{ 1: a.wav }, blends: { b: { parts: { x: 1 } } }', 'deliver: { stems: [y] }\n')
  expect(await codes(badKey)).toEqual([['RECIPE_KEY', '1']])
  expect(await codes('recipe: 1\nsong: a\n? [groups]\n: 1\n')).toEqual([['RECIPE_KEY', '[groups]']])
  // a source that is wrong is still a source
  expect(await codes(whole('{ p: 7 }', 'deliver: { stems: [p] }\n'))).toEqual([['RECIPE_TYPE', '7']])
  expect(await codes(whole('{ p: &a b.wav }'))).toEqual([['RECIPE_ALIAS', '&a']])
  // a key in another spelling is not missing as well
  expect(await codes(whole('{ p: { fiel: a.wav } }'))).toEqual([['RECIPE_UNKNOWN_KEY', 'fiel']])
  // a channel that the file lacks is not the whole file
  expect(await codes(whole('{ p: a.wav, q: { file: a.wav, channel: 2 } }'))).toEqual([
    ['RECIPE_CHANNEL', '2'],
  ])
  // two of one inner group are told there, not in the outer one again
  const inner = 'recipe: 1\nsong: a\ngroups:\n  in: { reference: p, sources: { p: a.wav, q: ./a.wav } }\n'
  expect(await codes(`${inner}  out: { reference: r, sources: { r: b.wav, s: { group: in } } }\n`)).toEqual([
    ['RECIPE_FILE_TWICE', './a.wav'],
  ])
})

test('columns count characters, not code units; a byte-order mark counts nothing', async () => {
  const found = await faultsOf('\ufeffrecipe: 1\n"\u{1f3b8}\u{1f3b8}": { x: 1 }\nsong: a\ngroups: 1\n')
  expect(found).toMatchObject([
    { code: 'RECIPE_UNKNOWN_KEY', place: { line: 2, column: 1, length: 4 } },
    { code: 'RECIPE_TYPE', place: { line: 4, column: 9 } },
  ])
  const later = await faultsOf(
    'recipe: 1\nsong: "\u{1f3b8}" #\u{1f3b8} x\ntake: { "\u{1f3b8}": &x 7 }\ngroups: 1\n',
  )
  expect(later.map(one => [one.code, one.place?.column, one.place?.length])).toEqual([
    ['RECIPE_TYPE', 1, 4],
    ['RECIPE_ALIAS', 14, 2],
    ['RECIPE_TYPE', 9, 1],
  ])
})

test('what a probe says of a recording gets the place where the recipe names it', async () => {
  const { fault, SumwellError } = await import('../../src/terms/fault.js')
  const found = await faultsOf(
    'recipe: 1\nsong: a\ngroups: { a: { reference: p, sources: { p: a.wav, q: b.wav } } }\n',
    {
      facts: path => {
        throw new SumwellError(fault('WAVE_NOT_WAVE', `${path.slice(-5)} is no WAVE file`, { file: path }))
      },
    },
  )
  expect(found).toMatchObject([
    { code: 'WAVE_NOT_WAVE', place: { line: 3, column: 44, length: 5 } },
    { code: 'WAVE_NOT_WAVE', place: { line: 3, column: 54, length: 5 } },
  ])
})

test('a recipe with CRLF line ends is read, and its faults show no carriage return', async () => {
  const found = await faultsOf('recipe: 1\r\nsong: a\r\ntempo: fast\r\ngroups: 2\r\n')
  expect(found.map(({ place }) => [place!.line, place!.sourceLine])).toEqual([
    [3, 'tempo: fast'],
    [4, 'groups: 2'],
  ])
})

test('a folder that only looks like a neighbour is not inside', async () => {
  const folder = testFolder()
  for (const name of ['tree', 'tree2']) mkdirSync(join(folder, name))
  writeFileSync(join(folder, 'tree2', 'a.wav'), '')
  writeFileSync(
    join(folder, 'tree', 'song.yaml'),
    'recipe: 1\nsong: a\ngroups: { a: { reference: p, sources: { p: ../tree2/a.wav } } }\n',
  )
  const path = join(folder, 'tree', 'song.yaml')
  await expect(loadFile(path)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_OUTSIDE' }] })
  expect((await loadFile(path, { allowOutside: true })).groups).toHaveLength(1)
})
