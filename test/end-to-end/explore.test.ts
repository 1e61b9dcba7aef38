import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { documentIn, schemaErrors } from './setting/valid.js'

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(4)
})
afterAll(() => {
  song.remove()
})

test('writes one page into the folder of delivery, touches nothing else, and may replace it', async () => {
  const before = hashesUnder(song.folder)
  const ended = await sumwell(['explore', song.recipe, 'snare'])
  expect([ended.status, ended.stdout]).toEqual([0, expect.stringContaining('21 blends of snare')])
  expect(ended.stdout).toContain('start low')
  const page = join(song.folder, 'stems', 'explore-snare.html')
  const text = readFileSync(page, 'utf8')
  expect(text.includes('default-src &#39;none&#39;')).toBe(true)
  expect(text.includes(song.folder)).toBe(false)
  expect(Object.keys(hashesUnder(song.folder))).toHaveLength(Object.keys(before).length + 1)
  expect(hashesUnder(song.folder)).toMatchObject(before)
  const again = await sumwell(['explore', song.recipe, 'snare', '--quiet'])
  expect([again.status, again.stdout]).toEqual([0, ''])
  expect(readFileSync(page, 'utf8') === text).toBe(true)
})

test('--json tells every blend of the page and what is predicted of it', async () => {
  const ended = await sumwell(['explore', song.recipe, 'snare', '--json', '--quiet'])
  expect(ended.status).toBe(0)
  const document = documentIn(ended.stdout)
  expect(schemaErrors('explore', document)).toEqual([])
  const [explored] = document.songs as unknown as readonly {
    page: string
    blends: {
      parts: unknown[]
      asDelivered: boolean | null
      worstLossDb: number | null
      recipeLines: string
    }[]
  }[]
  expect(explored!.page).toBe(join(song.folder, 'stems', 'explore-snare.html'))
  expect(explored!.blends).toHaveLength(21)
  expect(explored!.blends.filter(({ asDelivered }) => asDelivered === true)).toHaveLength(5)
  expect(explored!.blends.filter(({ worstLossDb }) => (worstLossDb ?? 0) > 1).length).toBeGreaterThan(4)
  expect(explored!.blends.every(({ recipeLines }) => recipeLines.includes('parts'))).toBe(true)
  const missing = await sumwell(['explore', song.recipe, 'snar', '--json', '--quiet'])
  expect(missing.status).toBe(2)
  expect(schemaErrors('explore', documentIn(missing.stdout))).toEqual([])
})

test('a group that is not there: told with those that are', async () => {
  const ended = await sumwell(['explore', song.recipe, 'snar'])
  expect(ended.status).toBe(2)
  expect(ended.stderr).toContain('has no group snar')
  expect(ended.stderr).toContain('bass, snare')
  expect(ended.stderr).toContain('nearest: snare')
})

test('a group of one source has nothing to blend', async () => {
  const recipe = song.write(
    'one.yaml',
    'recipe: 1\nsong: One\ngroups:\n  bass:\n    reference: piezo\n    sources:\n      piezo: { file: audio/piezo.wav }\n    blends:\n      b: { parts: { piezo: 1 } }\n',
  )
  const ended = await sumwell(['explore', recipe, 'bass'])
  expect([ended.status, ended.stderr]).toEqual([2, expect.stringContaining('nothing to blend')])
})

test.each(['notes.html', 'audio/piezo.wav', 'recipe.yaml'])('leaves %s as it is', async name => {
  song.write('notes.html', '<p>mine')
  const before = hashesUnder(song.folder)
  const ended = await sumwell(['explore', song.recipe, 'snare', '--out', join(song.folder, name)])
  expect(ended.status).toBe(name === 'notes.html' ? 1 : 2)
  expect(ended.stderr).toContain(name === 'notes.html' ? 'WRITE_EXISTS' : 'does not end in .html')
  expect(hashesUnder(song.folder)).toEqual(before)
})

test('a recipe that is wrong is told as by every command', async () => {
  const ended = await sumwell(['explore', song.write('wrong.yaml', 'recipe: 1\nsong: x\n'), 'bass'])
  expect(ended.status).toBe(3)
  expect(existsSync(join(song.folder, 'explore-bass.html'))).toBe(false)
})
