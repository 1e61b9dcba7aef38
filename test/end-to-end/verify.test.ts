import { execFileSync } from 'node:child_process'
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { sha256OfFile } from '../../src/wave/hash.js'
import { makeSong, type Song } from './setting/song.js'
import { type Ended, expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'

let song: Song
let first: Ended

beforeAll(async () => {
  expectFreshBuild()
  song = makeSong(6)
  first = await sumwell(['render', 'recipe.yaml', '--no-audio', '--archive', '--lags', '--json'], {
    cwd: song.folder,
  })
})
afterAll(() => {
  song.remove()
})

/** A copy of the delivery to spoil. */
const copied = (name: string): string => {
  const folder = join(song.folder, name)
  cpSync(join(song.folder, 'stems'), folder, { recursive: true })
  return folder
}
const verify = (...words: string[]): Promise<Ended> =>
  sumwell(['verify', ...words, '--quiet'], { cwd: song.folder })

interface Told {
  readonly folders: readonly {
    readonly blends: readonly {
      name: string
      leftDbfs: number | null
      allowedDbfs: number
      notCompared: string | null
    }[]
    readonly lags: readonly {
      source: string
      lagSamples: number
      meantSamples: number
      polarity: string
      verdict: string
    }[]
    readonly others: readonly string[]
    readonly differences: readonly { file: string | null; message: string }[]
  }[]
}

test('a delivery as it was made: status 0, every blend is the sum of its stems, and no lag is left', async () => {
  expect(first.status).toBe(0)
  const ended = await sumwell(['verify', 'stems', '--lags', '--json'], { cwd: song.folder })
  expect([ended.status, schemaErrors('verify', JSON.parse(ended.stdout))]).toEqual([0, []])
  const [told] = (JSON.parse(ended.stdout) as Told).folders
  expect(told!.differences).toEqual([])
  expect(told!.blends.map(({ name }) => name)).toEqual(['both', 'all', 'snare'])
  const report = JSON.parse(readFileSync(join(song.folder, 'stems/report.json'), 'utf8')) as {
    residualLags: unknown
  }
  expect(report.residualLags).toEqual(told!.lags)
  for (const { leftDbfs, allowedDbfs, notCompared } of told!.blends) {
    expect(notCompared).toBeNull()
    expect(leftDbfs).toBeLessThan(allowedDbfs)
    expect(leftDbfs).toBeGreaterThan(-160) // dither was there: the comparison saw something
    expect(allowedDbfs).toBeLessThan(-120)
  }
  expect(told!.lags.map(({ source }) => source)).toEqual(['bridge', 'room', 'bottom'])
  for (const lag of told!.lags) {
    expect(lag).toMatchObject({ polarity: 'normal', verdict: 'sure' })
    expect(Math.abs(lag.lagSamples)).toBeLessThan(0.05)
    expect(Math.abs(lag.meantSamples)).toBeLessThan(1e-9)
  }
})

test('sha256sum agrees, and the archive holds the same files', () => {
  const stems = join(song.folder, 'stems')
  const said = execFileSync('sha256sum', ['-c', 'SHA256SUMS'], { cwd: stems, encoding: 'utf8' })
  expect(said.trim().split('\n')).toHaveLength(8 + 3)
  mkdirSync(join(song.folder, 'unpacked'))
  execFileSync('python3', [
    '-m',
    'zipfile',
    '-e',
    join(song.folder, 'stems.zip'),
    join(song.folder, 'unpacked'),
  ])
  expect(hashesUnder(join(song.folder, 'unpacked/stems'))).toEqual(hashesUnder(stems))
})

test('one bit of one stem: status 5, and the file is named', async () => {
  const folder = copied('one-bit')
  const file = join(folder, 'short_song_bass_bridge.wav')
  const bytes = readFileSync(file)
  bytes[bytes.length - 300]! ^= 1
  writeFileSync(file, bytes)
  const ended = await verify('one-bit')
  expect(ended.status).toBe(5)
  expect(ended.stderr).toContain('VERIFY_DIFFERS')
  expect(ended.stderr).toContain('one-bit/short_song_bass_bridge.wav')
  // a single bit of 24 lies under what rounding may leave: the sums still hold, so nothing else is told
  expect(ended.stderr.match(/VERIFY_DIFFERS/g)).toHaveLength(2)
})

test('missing, cut short, exchanged, strange, without its list: each is told', async () => {
  const folder = copied('spoilt')
  rmSync(join(folder, 'short_song_snare_top.wav'))
  const room = join(folder, 'short_song_bass_room.wav')
  writeFileSync(room, readFileSync(room).subarray(0, 100_000))
  rmSync(join(folder, 'handoff.md'))
  writeFileSync(join(folder, 'mine.wav'), '')
  const ended = await sumwell(['verify', 'spoilt', '--json', '--quiet'], { cwd: song.folder })
  expect([ended.status, schemaErrors('verify', JSON.parse(ended.stdout))]).toEqual([5, []])
  const [told] = (JSON.parse(ended.stdout) as Told).folders
  expect(told!.others).toEqual(['mine.wav'])
  const of = (file: string): string =>
    told!.differences
      .filter(d => d.file === file)
      .map(d => d.message)
      .join('; ')
  expect(of('short_song_snare_top.wav')).toContain('does not exist')
  expect(of('short_song_bass_room.wav')).toContain('frames, not')
  expect(of('handoff.md')).toContain('missing')
  rmSync(join(folder, 'SHA256SUMS'))
  const without = await verify('spoilt')
  expect(without.stderr).toContain('not complete')
})

test('a stem of the right shape and with a fitting checksum that is not what the blend was made of', async () => {
  const folder = copied('exchanged')
  copyFileSync(join(folder, 'short_song_bass_piezo.wav'), join(folder, 'short_song_bass_bridge.wav'))
  const sum = sha256OfFile(join(folder, 'short_song_bass_bridge.wav'))
  for (const name of ['SHA256SUMS', 'report.json']) {
    const text = readFileSync(join(folder, name), 'utf8')
    const old = sha256OfFile(join(song.folder, 'stems/short_song_bass_bridge.wav'))
    writeFileSync(join(folder, name), text.replaceAll(old, sum))
  }
  const ended = await verify('exchanged')
  expect(ended.status).toBe(5)
  expect(ended.stderr).toMatch(/exchanged\/short_song_both\.wav[^]*do not add up/)
  expect(ended.stderr).not.toContain('short_song_snare')
})

test('no folder, no report: told, status 1', async () => {
  const ended = await verify('nowhere')
  expect([ended.status, ended.stderr.includes('REPORT_UNREADABLE')]).toEqual([1, true])
})

test('a stem that the recipe no longer makes is named; --prune removes it, and only it', async () => {
  const less = song.recipeText.replace(/ {6}all: .*\n/, '').replace('folder: stems', 'folder: pruned')
  song.write('pruned.yaml', song.recipeText.replace('folder: stems', 'folder: pruned'))
  await sumwell(['render', 'pruned.yaml', '--no-audio', '--quiet'], { cwd: song.folder })
  song.write('pruned.yaml', less)
  const stem = join(song.folder, 'pruned/short_song_all.wav')
  const left = await sumwell(['render', 'pruned.yaml', '--no-audio'], { cwd: song.folder })
  expect(left.stdout).toContain('short_song_all.wav: the recipe no longer makes this stem')
  expect(existsSync(stem)).toBe(true)
  const removed = await sumwell(['render', 'pruned.yaml', '--no-audio', '--prune', '--json'], {
    cwd: song.folder,
  })
  expect(JSON.parse(removed.stdout)).toMatchObject({
    songs: [{ formerStems: [{ fileName: 'short_song_all.wav', state: 'removed' }] }],
  })
  expect(existsSync(stem)).toBe(false)
  expect((await verify('pruned')).status).toBe(0)
})
