import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { lockText } from '../../src/lock/file/lock-text.js'
import { readLock } from '../../src/lock/file/read-lock.js'
import type { Lock } from '../../src/lock/lock.js'
import { expectFreshBuild, sumwell } from '../end-to-end/setting/sumwell.js'
import {
  layTake,
  library,
  path,
  performance,
  type SongFolder,
  songFolder,
  sumsUnder,
  twoMics,
  withMetadata,
} from './setting/small-song.js'

const { render, SumwellError } = library
const options = { audio: false, jobs: 2 }

const recipe = (share = 55, inGroup = '', take = 4): string => twoMics({ share, inGroup, take })

/** Frames at 16 kHz of 2.4 cm of air at 20 C: 0.024 m / 343.2 m/s. */
const NEARER_SAMPLES = (0.024 / 343.2) * 16_000

let song: SongFolder
let cacheFolder: string
const lock = (): Lock => readLock(song.lock, 'recipe.lock.yaml')
beforeAll(() => {
  expectFreshBuild()
  song = songFolder()
  cacheFolder = join(song.folder, 'cache')
  layTake(song, 4, [path(0, 1), path(30, 0.7)], 1)
  // 2.4 cm are 1.119 frames; the nearest half frame is what the sound is made with.
  layTake(song, 5, [path(0, 1), path(29, 0.5)], 2)
  song.write('recipe.yaml', recipe())
})
afterAll(() => {
  song.remove()
})

const faultsOf = async (work: Promise<unknown>): Promise<readonly { code: string; message: string }[]> =>
  work.then(
    () => [],
    (error: unknown) => (error instanceof SumwellError ? error.faults : Promise.reject(error as Error)),
  )

test('without a lock, --locked writes nothing', async () => {
  const faults = await faultsOf(render(song.recipe, { ...options, locked: true }))
  expect(faults.map(f => f.code)).toEqual(['LOCK_DIFFERS'])
  expect(existsSync(join(song.folder, 'stems-4'))).toBe(false)
  expect(existsSync(song.lock)).toBe(false)
})

test('a render writes the lock: what was measured to the last bit, what was done, which sound it was', async () => {
  const done = await render(song.recipe, { ...options, cacheFolder })
  const written = lock()
  expect(written).toEqual(done.lock)
  expect(lockText(written)).toBe(readFileSync(song.lock, 'utf8'))
  const { bridge } = written.groups['bass']!.sources
  const measured = done.measurement.groups[0]!.sources[1]!
  expect(bridge!.lagSamples).toBe(measured.lagSamples)
  expect(bridge!.lagSamples).toBeCloseTo(30, 1)
  expect(bridge!.move!.shiftSamples).toBe(-bridge!.lagSamples!)
  expect(written.before).toBeNull()
  expect(
    Object.values(written.stems)
      .map(stem => stem.sha256)
      .sort(),
  ).toEqual(done.rendered.map(stem => stem.sha256).sort())
  expect(Object.keys(written.groups['bass']!.sources)).toEqual(['bridge', 'piezo'])
})

test('with the lock, and nothing remembered, the same is done again, and --locked has nothing to say', async () => {
  const before = sumsUnder(join(song.folder, 'stems-4'))
  const written = statSync(song.lock).mtimeMs
  await render(song.recipe, { ...options, locked: true })
  expect(sumsUnder(join(song.folder, 'stems-4'))).toEqual(before)
  expect(statSync(song.lock).mtimeMs).toBe(written)
})

test('other metadata of the same audio are no difference', async () => {
  const file = join(song.folder, 'take-4/bridge.wav')
  const bytes = readFileSync(file)
  writeFileSync(file, withMetadata(bytes, 'tape two'))
  expect(await faultsOf(render(song.recipe, { ...options, locked: true, cacheFolder }))).toEqual([])
  writeFileSync(file, bytes)
})

test('a new ratio makes one stem anew and touches no other', async () => {
  const stems = join(song.folder, 'stems-4')
  await render(song.recipe, { ...options, cacheFolder })
  const times = (): Readonly<Record<string, number>> =>
    Object.fromEntries(Object.keys(sumsUnder(stems)).map(name => [name, statSync(join(stems, name)).mtimeMs]))
  const [before, sums] = [times(), sumsUnder(stems)]
  song.write('recipe.yaml', recipe(60))
  const faults = await faultsOf(render(song.recipe, { ...options, locked: true, cacheFolder }))
  expect(faults.map(f => f.message)).toEqual([
    expect.stringMatching(/^the gain of bass\/bridge in two_mics_bass\.wav is /),
    expect.stringMatching(/^the gain of bass\/piezo in two_mics_bass\.wav is /),
  ])
  expect(times()).toEqual(before)
  await render(song.recipe, { ...options, cacheFolder })
  const changed = Object.keys(before).filter(name => sumsUnder(stems)[name] !== sums[name])
  const touched = Object.keys(before).filter(name => times()[name] !== before[name] && name.endsWith('.wav'))
  expect(changed.filter(name => name.endsWith('.wav'))).toEqual(['two_mics_bass.wav'])
  expect(touched).toEqual(['two_mics_bass.wav'])
  song.write('recipe.yaml', recipe())
  await render(song.recipe, { ...options, cacheFolder })
})

test('what the lock says is done, though it would be measured otherwise now; that is told; --remeasure takes the new', async () => {
  const text = readFileSync(song.lock, 'utf8')
  const { lagSamples } = lock().groups['bass']!.sources['bridge']!
  // A lock as an older method might have left it.
  writeFileSync(song.lock, text.replaceAll(`lagSamples: ${lagSamples}`, 'lagSamples: 26.25'))
  const kept = await render(song.recipe, { ...options, cacheFolder })
  expect(kept.plan.sources[1]!.move.shiftSamples).toBe(-26.25)
  const told = kept.report.warnings.filter(({ code }) => code === 'LOCK_KEPT')
  expect(told.map(({ source }) => source)).toEqual(['bridge'])
  expect(told[0]!.message).toMatch(/\+26\.\d frames.*\+30\.0 frames.*--remeasure bass/)
  const unknown = await faultsOf(render(song.recipe, { ...options, remeasure: ['bas'], cacheFolder }))
  expect(unknown).toMatchObject([{ code: 'USAGE_ARGUMENTS', nearest: 'bass' }])
  const asked = await render(song.recipe, { ...options, remeasure: ['bass'], cacheFolder })
  expect(asked.plan.sources[1]!.move.shiftSamples).toBe(-lagSamples!)
  expect(asked.report.warnings.filter(({ code }) => code === 'LOCK_KEPT')).toEqual([])
  writeFileSync(song.lock, text)
})

test('the next take: measured anew, at the same balance, compared with the one before', async () => {
  const before = lock()
  const done = await render(song.recipe, { ...options, take: '5', cacheFolder })
  const { bridge } = done.lock.groups['bass']!.sources
  expect(bridge!.lagSamples).toBeCloseTo(29, 1)
  // The bridge plays 20 log10(0.5 / 0.7) = -2.9 dB quieter now; its part of the blend is not turned up for that.
  expect(done.lock.stems['two_mics_bass.wav']!.gains).toEqual(before.stems['two_mics_bass.wav']!.gains)
  const compared = done.report.compared!
  expect([compared.before, compared.now]).toEqual(['take 4', 'take 5'])
  const source = compared.groups[0]!.sources.find(({ name }) => name === 'bridge')!
  expect(source.lagChangeSamples).toBeCloseTo(-1, 1)
  // One frame of 1/16000 s at 343.2 m/s is 2.145 cm; 2.4 cm would be 1.12.
  expect(source.distanceChangeMetres).toBeCloseTo(-343.2 / 16_000, 3)
  expect(NEARER_SAMPLES).toBeCloseTo(1.119, 3)
  expect(source.loudnessChangeDb).toBeLessThan(-1.5)
  expect(source.words).toMatch(
    /^bridge mic is 2\.\d cm nearer than in take 4 \(−1\.0 frames, −0\.06\d ms\); \d\.\d dB quieter$/,
  )
  expect(done.lock.before!.take).toBe('4')
  // What is asked for again says the same again: the take before stays the take before.
  const again = await render(song.recipe, { ...options, take: '5' })
  expect(again.report.compared).toEqual(compared)
})

test('a re-amped pass added to a finished song changes nothing else', async () => {
  song.write('recipe.yaml', recipe(55, '', 5))
  await render(song.recipe, { ...options, cacheFolder })
  const stems = join(song.folder, 'stems-5')
  const isSound = ([name]: [string, string]): boolean => name.endsWith('.wav')
  const before = Object.entries(sumsUnder(stems)).filter(isSound)
  const formerSources = lock().groups['bass']!.sources
  song.write('amp.wav', performance([path(60, -0.9)], 2)[0]!)
  song.write('recipe.yaml', recipe(55, '      amp: { file: amp.wav, via: reamp }\n', 5))
  const done = await render(song.recipe, { ...options, cacheFolder })
  const after = sumsUnder(stems)
  expect(before).toHaveLength(3)
  for (const [name, sum] of before) expect(after[name], name).toBe(sum)
  expect(Object.keys(after).filter(name => name.endsWith('.wav'))).toHaveLength(4)
  const { amp, ...others } = done.lock.groups['bass']!.sources
  expect(others).toEqual(formerSources)
  expect(amp).toMatchObject({ polarity: 'inverted', lagVerdict: 'sure' })
  expect(done.report.compared!.groups[0]!.sources.map(({ words }) => words)).toContain('amp is new')
})

test('compare: two locks or two deliveries, as text and as a document', async () => {
  const [a, b] = ['stems-4', 'stems-5'].map(name => join(song.folder, name)) as [string, string]
  const text = await sumwell(['compare', a, b])
  expect(text.status).toBe(0)
  expect(text.stdout).toMatch(/^Two Mics\nTake 5 against take 4\n {2}bass\n/)
  expect(text.stdout).toMatch(/bridge mic is 2\.\d cm nearer than in take 4/)
  const both = await sumwell(['compare', song.lock, b, '--json'])
  const document = JSON.parse(both.stdout) as {
    songs: { comparison: { groups: { sources: { words: string }[] }[] } }[]
  }
  expect(document.songs[0]!.comparison.groups[0]!.sources.map(({ words }) => words)).toEqual([
    'amp is as before',
    'bridge mic is as before',
    'piezo, the reference, is as before',
  ])
  const wrong = await sumwell(['compare', join(song.folder, 'nowhere'), song.recipe])
  expect(wrong.status).toBe(1)
  expect(wrong.stderr).toMatch(/REPORT_UNREADABLE[\s\S]*LOCK_UNREADABLE/)
})

test('where nothing has changed nothing is done, and the command says so; every kind of change is seen', async () => {
  const run = (...args: string[]) =>
    sumwell(['render', song.recipe, '--no-audio', ...args], { environment: { SUMWELL_CACHE: cacheFolder } })
  await run()
  const sums = (): Readonly<Record<string, string>> =>
    Object.fromEntries(Object.entries(sumsUnder(song.folder)).filter(([name]) => !name.startsWith('cache/')))
  const [before, written] = [sums(), statSync(join(song.folder, 'stems-5/report.json')).mtimeMs]
  const again = await run()
  expect(again).toMatchObject({ status: 0, stderr: '' })
  expect(again.stdout).toMatch(/^Two Mics, take 5: nothing has changed, 4 stems as before/)
  const verified = await run('--verify-sources')
  expect(verified.stdout).toMatch(/nothing has changed/)
  expect(sums()).toEqual(before)
  expect(statSync(join(song.folder, 'stems-5/report.json')).mtimeMs).toBe(written)
  const document = JSON.parse((await run('--json')).stdout) as { songs: { unchanged: boolean }[] }
  expect(document.songs).toMatchObject([{ unchanged: true }])
  const stem = join(song.folder, 'stems-5/two_mics_bass.wav')
  const bytes = readFileSync(stem)
  bytes[2000] = bytes[2000]! ^ 1
  writeFileSync(stem, bytes)
  expect((await run()).stdout).not.toMatch(/nothing has changed/)
  expect(sums()['stems-5/two_mics_bass.wav']).toBe(before['stems-5/two_mics_bass.wav'])
})

test.each([
  ['an alias', 'song: &a Two Mics\n'],
  ['a key that stands twice', 'lock: 1\nlock: 1\n'],
  ['a later format', 'lock: 2\n'],
  ['no lock at all', 'recipe: 1\n'],
  ['nothing', ''],
])('a lock that is damaged is told with its place, and nothing is done: %s', async (_what, text) => {
  const good = readFileSync(song.lock, 'utf8')
  writeFileSync(song.lock, text)
  const done = await sumwell(['render', song.recipe, '--no-audio'])
  writeFileSync(song.lock, good)
  expect(done.status).toBe(1)
  expect(done.stderr).toMatch(/recipe\.lock\.yaml(:\d+:\d+)? {2}LOCK_UNREADABLE/)
  expect(done.stderr).toMatch(/to mend: take it from version control again/)
})

test('a field that a lock does not have is told on its line', async () => {
  const good = readFileSync(song.lock, 'utf8')
  writeFileSync(song.lock, good.replace(/method: \d+/, 'method: often'))
  const done = await sumwell(['render', song.recipe, '--no-audio'])
  writeFileSync(song.lock, good)
  expect(done.stderr).toMatch(/recipe\.lock\.yaml:6:1 {2}LOCK_UNREADABLE/)
})
