import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { commonFolder, findRecipes, fromFolder } from '../../../src/jobs/album/find-recipes.js'
import { SumwellError } from '../../../src/terms/fault.js'

let root = ''
const put = (name: string, text: string) => {
  mkdirSync(dirname(join(root, name)), { recursive: true })
  writeFileSync(join(root, name), text)
}
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'sumwell-find-'))
  put('album.yaml', 'recipe: 1\ntemperature: 20 C\n')
  put('one/song.yaml', '# a song\nrecipe: 1\nbase: ../album.yaml # for all\nsong: One\n')
  put('two/song.yml', 'recipe: 1\nsong: [never closed\n')
  put('two/song.lock.yaml', 'recipe: 1\n')
  put('two/notes.yaml', 'shopping: milk\n')
  put('two/.hidden/song.yaml', 'recipe: 1\n')
  put('two/stems/report.json', '{}')
  put('two/stems/song.yaml', 'recipe: 1\n')
  put('empty/readme.txt', '')
})
afterAll(() => {
  rmSync(root, { recursive: true })
})
const found = async (...given: string[]) => {
  const recipes = await findRecipes(given.map(g => join(root, g)))
  return recipes.map(path => fromFolder(root, path))
}

test('a folder stands for the songs in it: no bases, locks, hidden or delivered files; also recipes that are wrong', async () => {
  expect(await found('.')).toEqual(['one/song.yaml', 'two/song.yml'])
})

test('a pattern that the shell has left stands for what it matches', async () => {
  expect(await found('*/song.y*ml')).toEqual(['one/song.yaml', 'two/song.yml'])
  expect(await found('{one,two}/*.yaml')).toEqual(['one/song.yaml'])
})

test('a file is taken as it is, also one that is missing or no recipe; what was found already is not done twice', async () => {
  expect(await found('two/notes.yaml', 'missing.yaml')).toEqual(['two/notes.yaml', 'missing.yaml'])
  expect(await found('one/song.yaml', '.')).toEqual(['one/song.yaml', 'two/song.yml'])
  expect(await found('one/song.yaml', 'one/song.yaml')).toEqual(['one/song.yaml', 'one/song.yaml'])
})

test('where no recipe is found, that is said', async () => {
  for (const place of ['empty', 'nowhere/*.yaml']) await expect(found(place)).rejects.toThrow(SumwellError)
})

test('the folder of several recipes is the deepest that holds them all', () => {
  expect(commonFolder(['/a/b/c/x.yaml', '/a/b/d/y.yaml'])).toBe('/a/b')
  expect(commonFolder(['/a/b/x.yaml', '/a/b/y.yaml'])).toBe('/a/b')
  expect(commonFolder(['/a/b/x.yaml', '/a/bc/y.yaml'])).toBe('/a')
  expect(commonFolder(['/a/x.yaml', '/b/y.yaml'])).toBe(process.cwd())
})
