import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openStore } from '../../src/lock/cache/store.js'
import { expectFreshBuild, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'

let folder = ''
beforeAll(() => {
  expectFreshBuild()
  folder = mkdtempSync(join(tmpdir(), 'sumwell-cache-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true })
})
const asked = async (...args: string[]) => {
  const ended = await sumwell(['cache', '--json', ...args], { environment: { SUMWELL_CACHE: folder } })
  const document = JSON.parse(ended.stdout) as { entries: number; bytes: number; folder: string }
  expect([ended.status, schemaErrors('cache', document)]).toEqual([0, []])
  return document
}

test('tells how large it is, and empties it', async () => {
  expect(await asked('--size')).toMatchObject({ folder, entries: 0, bytes: 0 })
  openStore(folder).put('a key', new Float64Array(1000))
  openStore(folder).put('another', { some: 'value' })
  const full = await asked()
  expect(full.entries).toBe(2)
  expect(full.bytes).toBeGreaterThan(8000)
  expect(await asked('--clean')).toMatchObject({ entries: 0, bytes: 0 })
  expect(openStore(folder).get('a key')).toBeNull()
})

test('where nothing is kept, that is said', async () => {
  const ended = await sumwell(['cache'], { environment: { SUMWELL_CACHE: '' } })
  expect([ended.status, ended.stdout]).toEqual([2, ''])
})
