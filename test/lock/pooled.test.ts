import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { readLock } from '../../src/lock/file/read-lock.js'
import type { Lock } from '../../src/lock/lock.js'
import { expectFreshBuild } from '../end-to-end/setting/sumwell.js'
import {
  layTake,
  library,
  path,
  type SongFolder,
  songFolder,
  sumsUnder,
  twoMics,
} from './setting/small-song.js'

const { render } = library

const recipe = (takes: string, take = 1): string =>
  twoMics({ take, head: `takes: ${takes}\n`, folder: 'stems' })

let song: SongFolder
const lock = (): Lock => readLock(song.lock, 'recipe.lock.yaml')
const lay = (take: number, lateSamples: number): void => {
  layTake(song, take, [path(0, 1, 2e-3), path(lateSamples, 0.7, 2e-3)], take)
}
beforeAll(() => {
  expectFreshBuild()
  song = songFolder()
  for (const [i, lateSamples] of [30, 30, 30, 33].entries()) lay(i + 1, lateSamples)
})
afterAll(() => {
  song.remove()
})

test('stems are lined up by the pooled lag; the lock keeps it, and each take by itself on a line of its own', async () => {
  song.write('recipe.yaml', recipe('[1, 2, 3, 4]'))
  const done = await render(song.recipe, { audio: false, jobs: 2 })
  const { bridge } = lock().groups['bass']!.sources
  expect(lock().groups['bass']!.setup).toEqual({ name: null, takes: ['1', '2', '3', '4'] })
  expect(bridge!.pooled!.takes.map(({ take, state }) => `${take} ${state}`)).toEqual([
    '1 pooled',
    '2 pooled',
    '3 pooled',
    '4 odd',
  ])
  expect(bridge!.lagSamples).toBe(bridge!.pooled!.lagSamples)
  expect(bridge!.lagSamples).not.toBe(bridge!.pooled!.takes[0]!.lagSamples)
  expect(done.plan.sources.find(({ key }) => key === 'bass/bridge')!.move.shiftSamples).toBe(
    -bridge!.lagSamples!,
  )
  expect(readFileSync(song.lock, 'utf8').match(/^ *- \{ song: Two Mics, take: "\d", .*\}$/gm)).toHaveLength(4)
  expect(done.report.warnings.map(({ code }) => code)).toContain('ODD_TAKE')
  expect(done.report.groups[0]!.sources[1]!.measured.pooled!.used).toBe(true)
})

test('the order of the list, the number of threads and a cache change no byte', async () => {
  const before = sumsUnder(song.stems)
  const text = readFileSync(song.lock, 'utf8')
  song.write('recipe.yaml', recipe('[4, 2, 3, 1]'))
  await render(song.recipe, { audio: false, jobs: 1, cacheFolder: join(song.folder, 'cache') })
  expect(readFileSync(song.lock, 'utf8')).toBe(text)
  const now = sumsUnder(song.stems)
  const stems = Object.keys(now).filter(name => name.endsWith('.wav'))
  expect(stems).toHaveLength(3)
  for (const name of stems) expect(now[name]).toBe(before[name])
})

test('while the recordings of a take stay, so does its lag, whatever happens to other takes; another list asks anew', async () => {
  const before = lock().groups['bass']!.sources['bridge']!
  lay(2, 31)
  await render(song.recipe, { audio: false, jobs: 2 })
  expect(lock().groups['bass']!.sources['bridge']!.lagSamples).toBe(before.lagSamples)
  lay(2, 30)
  song.write('recipe.yaml', recipe('[1, 2]'))
  await render(song.recipe, { audio: false, jobs: 2 })
  const now = lock().groups['bass']!.sources['bridge']!
  expect(now.pooled!.takes).toHaveLength(2)
  expect(now.lagSamples).not.toBe(before.lagSamples)
  song.write('recipe.yaml', recipe('[]'))
  await render(song.recipe, { audio: false, jobs: 2 })
  expect(lock().groups['bass']!.sources['bridge']!.pooled).toBeUndefined()
  expect(lock().groups['bass']!.setup).toBeUndefined()
  expect(lock().groups['bass']!.sources['bridge']!.lagSamples).toBe(before.pooled!.takes[0]!.lagSamples)
})
