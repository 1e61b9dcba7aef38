import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openMemory } from '../../src/jobs/memory/memory.js'
import type { SongPool } from '../../src/jobs/open-pool.js'
import { silentProgress } from '../../src/jobs/progress.js'
import { measureSong } from '../../src/jobs/song/measure-song.js'
import { withOtherTakes } from '../../src/jobs/song/other-takes.js'
import type { PooledLag, SongMeasurement } from '../../src/measure/measurement.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { loadSession } from '../../src/recipe/load-session.js'
import { inProcess } from '../../src/terms/task.js'
import { probeWave } from '../../src/wave/probe.js'
import { recorded } from '../end-to-end/setting/sound.js'
import { schemaErrors } from '../end-to-end/setting/valid.js'
import { waveBytes } from '../end-to-end/setting/wave-bytes.js'

const RATE_HZ = 16_000
let root = ''

const put = (name: string, content: string | Buffer): void => {
  mkdirSync(dirname(join(root, name)), { recursive: true })
  writeFileSync(join(root, name), content)
}

/** A take: the pickup, and a microphone that is late by so many frames. */
const lay = (folder: string, seed: number, lateSamples: number, gain = 0.7): void => {
  const paths = [
    { lateSamples: 0, gain: 1, noise: 2e-3 },
    { lateSamples, gain, noise: 2e-3 },
  ]
  const [piezo, bridge] = recorded(paths, 1.6, RATE_HZ, seed)
  put(`${folder}/piezo.wav`, waveBytes([piezo!], RATE_HZ))
  put(`${folder}/bridge.wav`, waveBytes([bridge!], RATE_HZ))
}

const recipe = (song: string, take: number, more: string, group = ''): string => `recipe: 1
song: ${song}
take: ${take}
${more}
groups:
  bass:
    reference: piezo
    sources: { piezo: "${song}/take-{take}/piezo.wav", bridge: "${song}/take-{take}/bridge.wav" }
${group}
deliver: { folder: "stems/{song}-{take}" }
`

beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'sumwell-takes-'))
  lay('one/take-1', 1, 20)
  lay('one/take-2', 2, 20)
  lay('one/take-3', 3, 20)
  lay('one/take-4', 4, 23)
  lay('two/take-1', 5, 20)
  put('album.yaml', 'recipe: 1\nsetup: live-room\n')
})
afterAll(() => {
  rmSync(root, { recursive: true })
})

const pool = { rooms: { measure: inProcess(measureTasks) } } as unknown as SongPool

const measured = async (text: string, take?: string): Promise<SongMeasurement> => {
  put('recipe.yaml', text)
  const session = await loadSession(join(root, 'recipe.yaml'), { probe: probeWave, take })
  return measureSong(session, pool, silentProgress)
}
const pooledOf = (song: SongMeasurement): PooledLag | null => song.groups[0]!.sources[1]!.pooled
const states = (song: SongMeasurement): string =>
  (pooledOf(song)?.takes ?? []).map(({ song: name, take, state }) => `${name} ${take} ${state}`).join(', ')
const codes = (song: SongMeasurement): string[] => song.warnings.map(({ code }) => code)

test('takes that the recipe lists are one lag, with less uncertainty; each is told by itself', async () => {
  const alone = await measured(recipe('one', 1, ''))
  const together = await measured(recipe('one', 1, 'takes: [1, 2, 3]'))
  const [one, all] = [alone, together].map(song => song.groups[0]!.sources[1]!)
  expect(one!.pooled).toBeNull()
  expect(states(together)).toBe('one 1 pooled, one 2 pooled, one 3 pooled')
  expect(all!.pooled!.used).toBe(true)
  expect(all!.lagSamples).toBe(all!.pooled!.lagSamples)
  expect(Math.abs(all!.lagSamples! - 20)).toBeLessThan(4 * all!.lagUncertaintySamples!)
  expect(all!.lagUncertaintySamples!).toBeLessThan(one!.lagUncertaintySamples!)
  expect(all!.pooled!.takes[0]!.lagSamples).toBe(one!.lagSamples)
  expect(all!.candidates.find(({ aim }) => aim === 'arrival')!.lagSamples).toBe(all!.lagSamples)
  expect(codes(together)).toEqual(codes(alone))
  const { recipe: path, song, take, groups } = together
  const tool = { name: 'sumwell', version: '0' }
  const document = {
    format: 1,
    tool,
    songs: [{ recipe: path, song, take, groups }],
    warnings: [],
    faults: [],
  }
  expect(schemaErrors('measure', document)).toEqual([])
})

test('the order of the list makes no difference, to the last bit', async () => {
  const one = await measured(recipe('one', 2, 'takes: [1, 2, 3]'))
  const other = await measured(recipe('one', 2, 'takes: [3, 1, 2]'))
  expect(JSON.stringify(other)).toBe(JSON.stringify(one))
})

test('the odd take is named: it keeps its own lag, and the others are told which it is', async () => {
  const odd = await measured(recipe('one', 4, 'takes: [1, 2, 3, 4]'))
  expect(pooledOf(odd)!.used).toBe(false)
  expect(odd.groups[0]!.sources[1]!.lagSamples).toBeCloseTo(23, 0)
  const found = odd.warnings.find(({ code }) => code === 'ODD_TAKE')
  expect(found).toMatchObject({ group: 'bass', source: 'bridge' })
  expect(found!.message).toMatch(
    /^Take 4 is odd: it is \+0\.1\d\d ms \(\+(2\.9|3\.0|3\.1) frames, 6\.\d cm of air\) beside the lag that the 3 others agree on\./,
  )
  const other = await measured(recipe('one', 4, 'takes: [1, 2, 3, 4]'), '2')
  expect(pooledOf(other)!.used).toBe(true)
  expect(other.warnings.find(({ code }) => code === 'ODD_TAKE')!.message).toMatch(/^Take 4 is odd/)
})

test('two takes that do not agree are told, and not pooled', async () => {
  const song = await measured(recipe('one', 4, 'takes: [1, 4]'))
  expect(pooledOf(song)).toMatchObject({ used: false, lagSamples: null })
  expect(codes(song)).toContain('TAKES_DISAGREE')
})

test('a take that is not there is left out and told; one alone is measured by itself, and that is told', async () => {
  const some = await measured(recipe('one', 1, 'takes: [1, 2, 7]'))
  expect(states(some)).toBe('one 1 pooled, one 2 pooled, one 7 missing')
  expect(some.warnings.find(({ code }) => code === 'TAKE_MISSING')!.message).toContain('take 7')
  const none = await measured(recipe('one', 1, 'takes: [1, 7]'))
  expect(pooledOf(none)).toMatchObject({ used: false, lagSamples: null })
  expect(none.warnings.filter(({ code }) => code === 'TAKE_MISSING')).toHaveLength(2)
  const unlisted = await measured(recipe('one', 4, 'takes: [1, 2, 3]'))
  expect(pooledOf(unlisted)).toBeNull()
  expect(unlisted.warnings.find(({ code }) => code === 'TAKE_MISSING')!.message).toContain(
    'not among the takes',
  )
})

test('the same recording again counts once', async () => {
  lay('one/take-5', 2, 20)
  const song = await measured(recipe('one', 1, 'takes: [1, 2, 5]'))
  expect(states(song)).toBe('one 1 pooled, one 2 pooled, one 5 same')
})

test('recipes of one setup are pooled, each with the takes that it lists; a group may stay out', async () => {
  put('two.yaml', recipe('two', 1, 'base: album.yaml'))
  put('other.yaml', recipe('two', 1, 'setup: another room'))
  put('wrong.yaml', 'recipe: 1\nsong: [never closed\n')
  const song = await measured(recipe('one', 1, 'base: album.yaml\ntakes: [1, 3]'))
  expect(states(song)).toBe('one 1 pooled, one 3 pooled, two 1 pooled')
  const out = await measured(recipe('one', 1, 'base: album.yaml', '    setup: none'))
  expect(pooledOf(out)).toBeNull()
  put('recipe.yaml', recipe('one', 1, 'base: album.yaml\ntakes: [1, 3]'))
  const back = await loadSession(join(root, 'two.yaml'), { probe: probeWave })
  const found = await measureSong(back, pool, silentProgress)
  expect(states(found)).toBe('one 1 pooled, one 3 pooled, two 1 pooled')
})

test('a recipe that names neither asks for nothing', async () => {
  put('recipe.yaml', recipe('one', 1, ''))
  const session = await loadSession(join(root, 'recipe.yaml'), { probe: probeWave })
  const plain = { groups: [], warnings: [] } as unknown as SongMeasurement
  const memory = await openMemory(session, pool, { store: null, verifySources: false, force: false })
  const wish = { store: null, verifySources: false, force: false }
  const about = { pool, progress: silentProgress, wish }
  expect(await withOtherTakes(session, plain, memory, about)).toEqual(plain)
})
