import { execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { recipeOfTwo } from './setting/recipe-of-two.js'
import { makeSong, type Song } from './setting/song.js'
import { noiseFrom } from './setting/sound.js'
import { expectFreshBuild, hashesUnder, main, sumwell } from './setting/sumwell.js'

/** Two recipes that deliver to one folder, from the same recordings, with other stems: whatever is there is of one of them, or says that it is not. */
let song: Song
let recordings: Record<string, string>
const whole: Record<string, Record<string, string>> = {}
const RECIPES = ['a.yaml', 'b.yaml'] as const
const RECIPE = recipeOfTwo()

// Every run in this file is quick, and does its own work: without sound on the page, and without what earlier runs remember.
const QUICK = ['--no-audio', '--quiet']
const render = (recipe: string, environment: Record<string, string> = {}) =>
  sumwell(['render', recipe, ...QUICK], { cwd: song.folder, environment: { ...fresh(), ...environment } })

let caches = 0
const fresh = (): Record<string, string> => ({ XDG_CACHE_HOME: join(song.folder, `cache-${caches++}`) })

const delivered = (): Record<string, string> => {
  const folder = join(song.folder, 'stems')
  return existsSync(folder) ? hashesUnder(folder) : {}
}

beforeAll(async () => {
  expectFreshBuild()
  song = makeSong(1)
  recordings = hashesUnder(join(song.folder, 'audio'))
  song.write('a.yaml', RECIPE)
  song.write('b.yaml', RECIPE.replace('top: 60', 'top: 20'))
  for (const recipe of RECIPES) {
    expect((await render(recipe)).status).toBe(0)
    whole[recipe] = delivered()
  }
})
afterAll(() => {
  expect(hashesUnder(join(song.folder, 'audio'))).toEqual(recordings)
  song.remove()
})

/** Every stem is that of one recipe or the other, whole; what is listed is as listed; a report stands for the stems beside it. */
const expectNoHarm = (): void => {
  const found = delivered()
  const names = Object.keys(whole['a.yaml']!).filter(name => name.endsWith('.wav'))
  expect(names).toHaveLength(3)
  for (const name of names) expect(RECIPES.map(recipe => whole[recipe]![name])).toContain(found[name])
  expect(hashesUnder(join(song.folder, 'audio'))).toEqual(recordings)
  const speaks = ['SHA256SUMS', 'report.json'].some(name => found[name] !== undefined)
  if (!speaks) return
  const inSight = Object.fromEntries(Object.entries(found).filter(([name]) => !name.startsWith('.')))
  const fits = RECIPES.some(recipe =>
    Object.entries(inSight).every(([name, sum]) => whole[recipe]![name] === sum),
  )
  expect([Object.keys(inSight), fits]).toEqual([Object.keys(inSight), true])
}

const expectCleanRun = async (recipe: string): Promise<void> => {
  expect((await render(recipe)).status).toBe(0)
  expect(delivered()).toEqual(whole[recipe])
}

test('the two deliveries differ', () => {
  const [a, b] = RECIPES.map(recipe => whole[recipe]!)
  expect(Object.keys(a!)).toEqual(Object.keys(b!))
  const stems = Object.keys(a!).filter(name => name.endsWith('.wav'))
  expect(stems.filter(name => a![name] !== b![name])).toEqual(['short_song_snare.wav'])
})

/** Fifty where everything is checked; fewer at the desk, for each takes a second. */
const KILLS = process.env['CI'] === undefined ? 10 : 50

describe('kill -9', () => {
  test('at random moments: no recording changed, every stem whole, nothing mixed that calls itself complete', async () => {
    const random = noiseFrom(50)
    const start = performance.now()
    await expectCleanRun('a.yaml')
    let longest = performance.now() - start
    let killed = 0
    for (let round = 0; round < KILLS; round++) {
      const began = performance.now()
      const child = spawn(process.execPath, [main, 'render', RECIPES[round % 2]!, ...QUICK], {
        cwd: song.folder,
        env: { ...process.env, ...fresh() },
        stdio: 'ignore',
      })
      const ended = once(child, 'exit')
      // the later half is where files are made and exchanged
      const share = round % 4 === 0 ? (random() + 1) / 2 : 0.5 + (random() + 1) / 4
      await Promise.race([ended, new Promise(resolve => setTimeout(resolve, share * longest))])
      if (child.exitCode === null && child.kill('SIGKILL')) killed++
      // The machine has less to do than before: a run is over sooner.
      else longest = Math.min(longest, performance.now() - began)
      await ended
      expectNoHarm()
    }
    expect(killed).toBeGreaterThan(KILLS / 2)
    await expectCleanRun('b.yaml')
  }, 600_000)
})

describe('a disk that refuses a call, in any thread of the whole command', () => {
  const layer = `--import ${fileURLToPath(new URL('setting/fault-layer.mjs', import.meta.url))}`
  const random = noiseFrom(7)
  const cases = (
    [
      ['readSync', 'EIO'],
      ['writeSync', 'EIO'],
      ['writeSync', 'ENOSPC'],
      ['fsyncSync', 'EIO'],
      ['renameSync', 'EIO'],
      ['openSync', 'EIO'],
    ] as const
  ).flatMap(([call, code]) => [0, 1].map(() => [call, code, Math.floor((random() + 1) * 8)] as const))

  test.each(cases)('%s with %s, call %i', async (call, code, at) => {
    const ended = await render('b.yaml', { NODE_OPTIONS: layer, SUMWELL_TEST_FAULT: `${call} ${code} ${at}` })
    expectNoHarm()
    if (ended.status !== 0) {
      expect(ended.stderr).toContain(`refused ${call}`)
      expect(ended.stderr).toMatch(/(^| {2})(WAVE|WRITE|RECIPE|LOCK)_[A-Z_]+ /m)
    }
    expect(ended.stderr).not.toContain('INTERNAL')
    expect(ended.stderr).not.toMatch(/\n\s+at /)
  })

  test('the next run is clean', async () => {
    await expectCleanRun('b.yaml')
  })
})

describe('a recording', () => {
  test('that is written to while the song is rendered: WAVE_CHANGED, and the former delivery stays', async () => {
    const before = delivered()
    const file = join(song.folder, 'audio/bottom.wav')
    const bytes = readFileSync(file)
    const ended = await sumwell(['render', 'a.yaml', '--no-audio'], {
      cwd: song.folder,
      environment: fresh(),
      interrupt: {
        signal: 'SIGCONT', // does nothing: the moment is what is wanted
        times: 1,
        when: stderr => {
          if (!stderr.includes(': rendering\n')) return false
          appendFileSync(file, Buffer.alloc(1000))
          return true
        },
      },
    })
    writeFileSync(file, bytes)
    expect([ended.status, ended.stderr]).toEqual([1, expect.stringContaining('WAVE_CHANGED')])
    expect(delivered()).toEqual(before)
  })

  test('reached through a link out of the tree is refused, and so is a folder of delivery', async () => {
    const outside = `${song.folder}-outside`
    mkdirSync(outside)
    try {
      symlinkSync(outside, join(song.folder, 'link'))
      writeFileSync(join(outside, 'top.wav'), readFileSync(join(song.folder, 'audio/top.wav')))
      song.write('linked.yaml', RECIPE.replace('audio/top.wav', 'link/top.wav'))
      song.write('out.yaml', RECIPE.replace('folder: stems', 'folder: link/stems'))
      for (const recipe of ['linked.yaml', 'out.yaml']) {
        const ended = await render(recipe)
        expect([ended.status, ended.stderr]).toEqual([3, expect.stringContaining('RECIPE_OUTSIDE')])
      }
      expect(Object.keys(hashesUnder(outside))).toEqual(['top.wav'])
    } finally {
      rmSync(outside, { recursive: true })
    }
  })
})

test('two renders of one recipe at once: one delivers, the other is told, or both do in turn', async () => {
  const both = await Promise.all([render('a.yaml'), render('a.yaml')])
  expect(both.map(({ status }) => status)).toContain(0)
  for (const { status, stderr } of both) {
    if (status !== 0) expect([status, stderr]).toEqual([1, expect.stringContaining('WRITE_BUSY')])
  }
  expect(delivered()).toEqual(whole['a.yaml'])
})

// A real small disk needs the superuser on Linux; CI runs as one.
describe('a small disk', () => {
  const superuser = process.platform === 'linux' && process.getuid?.() === 0
  test.skipIf(!superuser)(
    'that fills up at random points of the whole command: the former delivery stays',
    async () => {
      const disk = join(song.folder, 'disk')
      mkdirSync(disk)
      try {
        execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=4m', 'tmpfs', disk])
      } catch (error) {
        if (process.env['CI'] !== undefined) throw error
        return
      }
      try {
        song.write('small.yaml', RECIPE.replace('folder: stems', 'folder: disk/stems'))
        expect((await render('small.yaml')).status).toBe(0)
        const former = hashesUnder(join(disk, 'stems'))
        const random = noiseFrom(11)
        let failed = 0
        for (let round = 0; round < 6; round++) {
          const free = Number(execFileSync('stat', ['-f', '-c', '%a', disk], { encoding: 'utf8' })) * 4096
          writeFileSync(
            join(disk, 'ballast'),
            Buffer.alloc(Math.max(0, free - Math.floor((random() + 1) * 6e5))),
          )
          const ended = await render('small.yaml')
          if (ended.status !== 0) {
            failed++
            expect([ended.status, ended.stderr]).toEqual([1, expect.stringContaining('WRITE_DISK_FULL')])
          }
          expect(hashesUnder(join(disk, 'stems'))).toEqual(former)
          rmSync(join(disk, 'ballast'))
        }
        expect(failed).toBeGreaterThan(2)
        expect((await render('small.yaml')).status).toBe(0)
        expect(hashesUnder(join(disk, 'stems'))).toEqual(former)
      } finally {
        execFileSync('umount', [disk])
      }
    },
    300_000,
  )

  test.skipIf(!superuser)('that is read-only: told, and nothing is changed', async () => {
    const disk = join(song.folder, 'disk')
    mkdirSync(disk, { recursive: true })
    try {
      execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=8m,ro', 'tmpfs', disk])
    } catch (error) {
      if (process.env['CI'] !== undefined) throw error
      return
    }
    try {
      song.write('read-only.yaml', RECIPE.replace('folder: stems', 'folder: disk/stems'))
      const ended = await render('read-only.yaml')
      expect([ended.status, ended.stderr]).toEqual([1, expect.stringMatching(/WRITE_NOT_ALLOWED/)])
    } finally {
      execFileSync('umount', [disk])
    }
  })
})
