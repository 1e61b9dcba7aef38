import { afterAll, beforeAll, expect, test } from 'vitest'
import { recipeOfTwo } from './setting/recipe-of-two.js'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { documentIn, schemaErrors } from './setting/valid.js'

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(2)
})
afterAll(() => {
  song.remove()
})

test.each([
  { args: ['check'], schema: 'check' },
  { args: ['measure'], schema: 'measure' },
  { args: ['render', '--dry-run'], schema: 'plan' },
  { args: ['render'], schema: 'render', more: ['album'] },
])(
  '$args prints one document that its schema allows, and progress elsewhere',
  async ({ args, schema, more = [] }) => {
    const ended = await sumwell([...args, 'recipe.yaml', '--json'], { cwd: song.folder })
    expect(ended.status).toBe(0)
    const document = documentIn(ended.stdout)
    expect(Object.keys(document)).toEqual(['format', 'tool', 'songs', ...more, 'warnings', 'faults'])
    expect(schemaErrors(schema, document)).toEqual([])
    // and the schema does refuse what it should
    expect(schemaErrors(schema, { ...document, more: 1 })).toHaveLength(1)
    expect(schemaErrors(schema, { ...document, songs: [{ recipe: 'recipe.yaml' }] })).not.toEqual([])
    expect(document.songs.map(s => s['song'])).toEqual(['Short Song'])
    expect(document.faults).toEqual([])
    expect(ended.stderr).toContain('Short Song: ')
  },
)

test('two recipes in one call are two songs in one document, in the order given', async () => {
  const other = recipeOfTwo('Other Song', 'other-stems')
  song.write('other.yaml', other)
  const ended = await sumwell(['check', 'other.yaml', 'recipe.yaml', '--json', '--quiet'], {
    cwd: song.folder,
  })
  expect(ended.status).toBe(0)
  const document = documentIn(ended.stdout)
  expect(schemaErrors('check', document)).toEqual([])
  expect(document.songs.map(s => [s['recipe'], s['song']])).toEqual([
    ['other.yaml', 'Other Song'],
    ['recipe.yaml', 'Short Song'],
  ])
})

test('two songs may not deliver to one folder: said before anything is read, and nothing is written', async () => {
  song.write('same.yaml', recipeOfTwo('Same Folder'))
  const before = hashesUnder(song.folder)
  const both = await sumwell(['render', 'recipe.yaml', 'same.yaml', '--json'], { cwd: song.folder })
  expect(both.status).toBe(3)
  expect(documentIn(both.stdout).faults.map(f => [f.code, f.file])).toEqual([
    ['RECIPE_FOLDER_TWICE', 'same.yaml'],
  ])
  const twice = await sumwell(['render', 'recipe.yaml', './recipe.yaml'], { cwd: song.folder })
  expect([twice.status, twice.stderr]).toEqual([3, expect.stringContaining('given twice')])
  expect(hashesUnder(song.folder)).toEqual(before)
})

test('what fails is in the document as well, and the songs that were done beside it', async () => {
  song.write('audio/nan.wav', floatWave([0, 0.5, Number.NaN, 0.25]))
  song.write('broken.yaml', recipeOfTwo('Broken', 'other-stems').replace('bottom.wav', 'nan.wav'))
  const ended = await sumwell(['check', 'broken.yaml', 'recipe.yaml', '--json', '--quiet'], {
    cwd: song.folder,
  })
  expect(ended.status).toBe(1)
  const document = documentIn(ended.stdout)
  expect(schemaErrors('check', document)).toEqual([])
  expect(document.songs.map(s => s['song'])).toEqual(['Short Song'])
  expect(document.faults.map(f => f.code)).toEqual(['WAVE_NOT_A_NUMBER'])
  expect(ended.stderr).toContain('WAVE_NOT_A_NUMBER')
})

test('each warning names its recipe, in the document and, where there are several, for people', async () => {
  song.write('silent.yaml', recipeOfTwo('Silent', 'other-stems').replace('bottom.wav', 'silence.wav'))
  song.write('audio/silence.wav', floatWave(new Array<number>(48_000).fill(0)))
  const args = ['check', 'recipe.yaml', 'silent.yaml']
  const { stdout } = await sumwell([...args, '--json', '--quiet'], { cwd: song.folder })
  expect(documentIn(stdout).warnings).toMatchObject([{ code: 'SILENT', recipe: 'silent.yaml' }])
  const strict = await sumwell([...args, '--strict'], { cwd: song.folder })
  expect(strict.status).toBe(4)
  expect(strict.stderr).toContain('NOT_SURE')
})

test('report says of each folder what it drew, and of one that is none why not', async () => {
  const rendered = await sumwell(['render', 'recipe.yaml', '--quiet'], { cwd: song.folder })
  expect(rendered.status).toBe(0)
  const before = hashesUnder(song.folder)
  const ended = await sumwell(['report', 'stems', 'audio', '--json'], { cwd: song.folder })
  expect(ended.status).toBe(1)
  const document = documentIn(ended.stdout) as unknown as Redrawn
  expect(schemaErrors('redraw', document)).toEqual([])
  expect(schemaErrors('redraw', { ...document, folders: [{ folder: 'stems' }] })).not.toEqual([])
  expect(document.folders).toMatchObject([{ folder: 'stems', song: 'Short Song', sound: 'kept' }])
  expect(document.folders[0]!.sources.length).toBeGreaterThan(1)
  expect(document.faults.map(({ code }) => code)).toEqual(['REPORT_UNREADABLE'])
  // Drawn again from report.json it is the same, to the last byte: page and sheet.
  expect(hashesUnder(song.folder)).toEqual(before)
})

interface Redrawn {
  readonly folders: readonly { readonly folder: string; readonly sources: readonly unknown[] }[]
  readonly faults: readonly { readonly code: string }[]
}

/** One channel of 32-bit floats at 48 kHz. */
function floatWave(samples: readonly number[]): Buffer {
  const bytes = Buffer.alloc(44 + 4 * samples.length)
  bytes.write('RIFF', 0, 'latin1')
  bytes.writeUInt32LE(bytes.length - 8, 4)
  bytes.write('WAVEfmt ', 8, 'latin1')
  for (const [at, value] of [
    [16, 16],
    [24, 48_000],
    [28, 192_000],
  ] as const)
    bytes.writeUInt32LE(value, at)
  for (const [at, value] of [
    [20, 3],
    [22, 1],
    [32, 4],
    [34, 32],
  ] as const)
    bytes.writeUInt16LE(value, at)
  bytes.write('data', 36, 'latin1')
  bytes.writeUInt32LE(4 * samples.length, 40)
  samples.forEach((sample, i) => bytes.writeFloatLE(sample, 44 + 4 * i))
  return bytes
}
