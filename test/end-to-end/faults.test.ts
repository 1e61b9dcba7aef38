import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { type Ended, expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'

let song: Song
let before: Record<string, string>
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(2)
})
beforeEach(() => {
  before = hashesUnder(join(song.folder, 'audio'))
})
afterEach(() => {
  expect(hashesUnder(join(song.folder, 'audio'))).toEqual(before)
})
afterAll(() => {
  song.remove()
})

const run = (...args: string[]): Promise<Ended> => sumwell(args, { cwd: song.folder })

/** The recipe of the song with a change in it. */
const changed = (name: string, from: string, to: string): string => {
  const text = readFileSync(song.recipe, 'utf8')
  expect(text).toContain(from)
  song.write(name, text.replace(from, to))
  return name
}

const neverATrace = ({ stdout, stderr }: Ended): void => {
  expect(`${stdout}${stderr}`).not.toMatch(/\n\s+at .+:\d+:\d+|node:internal|file:\/\//)
}

test('every fault of a recipe at once, each with its line, a caret and the cure: status 3', async () => {
  const name = changed('wrong.yaml', 'piezo: 55', 'pieso: 55')
  const text = readFileSync(join(song.folder, name), 'utf8')
  song.write(name, text.replace('reference: top', 'referense: top'))
  const ended = await run('check', name)
  expect(ended.status).toBe(3)
  expect(ended.stdout).toBe('')
  const lines = ended.stderr.split('\n')
  const shown = lines.findIndex(l => l.includes('pieso: 55'))
  expect(lines[shown + 1]?.trimStart()).toMatch(/^\|? *\^{5}/)
  expect(lines[shown + 1]?.indexOf('^')).toBe(lines[shown]?.indexOf('pieso'))
  expect(ended.stderr).toMatch(/wrong\.yaml:\d+:\d+ {2}RECIPE_PART/)
  expect(ended.stderr).toMatch(/wrong\.yaml:\d+:\d+ {2}RECIPE_UNKNOWN_KEY/)
  expect(ended.stderr).toContain('reference ?')
  neverATrace(ended)
})

test('a wrong recipe writes nothing and stops no other; the status is the worst', async () => {
  const name = changed('half.yaml', 'bridge: 45', 'bridge: 45 dB')
  song.write(name, readFileSync(join(song.folder, name), 'utf8').replace('folder: stems', 'folder: half'))
  const ended = await run('render', 'recipe.yaml', name, '--no-audio', '--no-album')
  expect(ended.status).toBe(3)
  expect(ended.stderr).toContain('half.yaml')
  expect(existsSync(join(song.folder, 'half'))).toBe(false)
  expect(existsSync(join(song.folder, 'stems/SHA256SUMS'))).toBe(true)
})

test.each([
  ['a recipe that is not there', ['measure', 'absent.yaml'], 3, 'RECIPE_UNREADABLE'],
  ['a folder without a recipe', ['check', 'audio'], 2, 'no recipe'],
  ['a recording as a recipe', ['check', 'audio/top.wav'], 3, 'RECIPE_'],
])('%s', async (_, args, status, code) => {
  const ended = await run(...args)
  expect(ended.status).toBe(status)
  expect(ended.stderr).toContain(code)
  neverATrace(ended)
})

test('a recording that is not there: told with the place in the recipe', async () => {
  const ended = await run('check', changed('missing.yaml', 'audio/room.wav', 'audio/rom.wav'))
  expect(ended.status).toBe(3)
  expect(ended.stderr).toMatch(/missing\.yaml:\d+:\d+ {2}RECIPE_FILE_MISSING/)
  expect(ended.stderr).toContain('room.wav')
})

test('a recording outside the tree only with --allow-outside', async () => {
  const deep = join(song.folder, 'deep')
  mkdirSync(deep, { recursive: true })
  const text = readFileSync(song.recipe, 'utf8').replaceAll('"audio/', '"../audio/')
  song.write('deep/recipe.yaml', text)
  const refused = await run('check', 'deep/recipe.yaml')
  expect([refused.status, refused.stderr]).toEqual([3, expect.stringContaining('RECIPE_OUTSIDE')])
  const allowed = await run('check', 'deep/recipe.yaml', '--allow-outside')
  expect([allowed.status, allowed.stderr]).toEqual([0, 'Short Song: checking\n'])
})

test('a recording that is no WAVE file: told by name, no trace', async () => {
  song.write('audio/text.wav', 'this is not sound')
  const ended = await run('render', changed('nowave.yaml', 'audio/room.wav', 'audio/text.wav'))
  expect(ended.status).toBeGreaterThan(0)
  expect(ended.stderr).toContain('WAVE_NOT_WAVE')
  neverATrace(ended)
  before = hashesUnder(join(song.folder, 'audio'))
})

test('a stem that cannot be put in its place: status 1, nothing written beside it', async () => {
  mkdirSync(join(song.folder, 'taken/short_song_both.wav'), { recursive: true })
  const ended = await run('render', changed('taken.yaml', 'folder: stems', 'folder: taken'))
  expect([ended.status, ended.stdout]).toEqual([1, ''])
  expect(ended.stderr).toContain('WRITE_FAILED')
  neverATrace(ended)
  expect(readdirSync(join(song.folder, 'taken'))).toEqual(['short_song_both.wav'])
})

test('--strict: what is not sure is status 4, with the reason, and nothing is written', async () => {
  const name = changed('strict.yaml', 'file: "audio/room.wav"', 'file: "audio/bottom.wav"')
  song.write(name, readFileSync(join(song.folder, name), 'utf8').replace('folder: stems', 'folder: strict'))
  const lenient = await run('measure', name)
  expect(lenient.status).toBe(0)
  expect(lenient.stdout).toMatch(/room .*(unknown|unsure)/)
  const ended = await run('render', name, '--strict')
  expect(ended.status).toBe(4)
  expect(ended.stderr).toMatch(/NOT_SURE {2}bass\/room is (unknown|unsure): /)
  expect(existsSync(join(song.folder, 'strict'))).toBe(false)
})
