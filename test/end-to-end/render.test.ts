import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song, TRUTH } from './setting/song.js'
import { type Ended, expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'
import { samplesOf } from './setting/wave-bytes.js'

const STEMS = [
  'short_song_all.wav',
  'short_song_bass_bridge.wav',
  'short_song_bass_piezo.wav',
  'short_song_bass_room.wav',
  'short_song_both.wav',
  'short_song_snare.wav',
  'short_song_snare_bottom.wav',
  'short_song_snare_top.wav',
]

let song: Song
let recordings: Record<string, string>
let first: Ended
let printed: Record<string, string>

beforeAll(async () => {
  expectFreshBuild()
  song = makeSong(6)
  recordings = hashesUnder(join(song.folder, 'audio'))
  first = await sumwell(['render', 'recipe.yaml', '--jobs', '1'], { cwd: song.folder })
  printed = hashesUnder(join(song.folder, 'stems'))
})
afterAll(() => {
  song.remove()
})

const channelOf = (stem: string): Float64Array =>
  samplesOf(readFileSync(join(song.folder, 'stems', stem)))[0]!

test('one call prints every stem and the report, and nothing else', () => {
  expect(first.status).toBe(0)
  expect(readdirSync(join(song.folder, 'stems')).sort()).toEqual(
    ['SHA256SUMS', 'handoff.md', 'report.html', 'report.json', ...STEMS].sort(),
  )
  expect(
    schemaErrors('report', JSON.parse(readFileSync(join(song.folder, 'stems/report.json'), 'utf8'))),
  ).toEqual([])
})

test('the summary tells lag, polarity and verdict of each source, what changed, and where the report is', () => {
  const line = (name: string) =>
    first.stdout.split('\n').find(l => l.trimStart().startsWith(`${name} `)) ?? ''
  expect(line('bridge')).toMatch(/\+1\.99 ms .*\+95\.[3-7] .*normal +sure/)
  expect(line('room')).toMatch(/\+7\.58 ms .*\+36[34]\.\d .*inverted +sure/)
  expect(line('both')).toContain('dB')
  expect(first.stdout).toContain(join('stems', 'report.html'))
  expect(first.stderr).toMatch(/^Short Song: measuring\n/)
})

test('the stems are lined up: each path fits the reference, seen without any of our measuring', () => {
  const reference = channelOf('short_song_bass_piezo.wav')
  const paths = [
    { stem: 'short_song_bass_bridge.wav', gain: 0.7, reference },
    { stem: 'short_song_bass_room.wav', gain: 0.4, reference },
    { stem: 'short_song_snare_bottom.wav', gain: 0.6, reference: channelOf('short_song_snare_top.wav') },
  ]
  for (const path of paths) {
    const aligned = channelOf(path.stem)
    const count = Math.min(aligned.length, path.reference.length) - 48_000
    let rest = 0
    let whole = 0
    for (let i = 24_000; i < 24_000 + count; i += 1) {
      rest += (aligned[i]! / path.gain - path.reference[i]!) ** 2
      whole += path.reference[i]! ** 2
    }
    // The noise of both paths (uniform, 3e-4 / 0.4 at most) lies 40 dB under this song; a tenth of a frame would leave -27 dB of it.
    expect([path.stem, 10 * Math.log10(rest / whole) < -33]).toEqual([path.stem, true])
    expect(count).toBeGreaterThan(200_000)
  }
})

test('measure finds what was put in', async () => {
  const { status, stdout } = await sumwell(['measure', 'recipe.yaml', '--json'], { cwd: song.folder })
  expect(status).toBe(0)
  const { songs } = JSON.parse(stdout) as {
    songs: {
      groups: { sources: { name: string; lagSamples: number; polarity: string; verdict: string }[] }[]
    }[]
  }
  const sources = songs.flatMap(s => s.groups.flatMap(g => g.sources))
  for (const [name, truth] of Object.entries(TRUTH)) {
    const found = sources.find(s => s.name === name)!
    expect(found).toMatchObject({ polarity: truth.polarity, verdict: 'sure' })
    expect(Math.abs(found.lagSamples - truth.lagSamples)).toBeLessThan(0.1)
  }
  expect(Object.keys(TRUTH)).toHaveLength(3)
})

// Another folder, and nothing that an earlier run may remember: everything is made anew.
test.each([
  [
    'two threads, another time zone and language',
    ['--jobs', '2'],
    { TZ: 'Asia/Kathmandu', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' },
  ],
  [
    'one thread, without WebAssembly',
    ['--jobs', '1'],
    { SUMWELL_PLAIN: '1', TZ: 'America/St_Johns', LC_ALL: 'C' },
  ],
] as const)('%s: every file of the delivery has the same bytes', async (_name, words, environment) => {
  const other = mkdtempSync(join(tmpdir(), 'sumwell-other-'))
  try {
    for (const name of ['audio', 'recipe.yaml'])
      cpSync(join(song.folder, name), join(other, name), { recursive: true })
    const again = await sumwell(['render', 'recipe.yaml', ...words], {
      cwd: other,
      environment: { ...environment, XDG_CACHE_HOME: join(other, 'cache') },
    })
    expect(again.status).toBe(0)
    const now = hashesUnder(join(other, 'stems'))
    expect(Object.keys(now)).toHaveLength(STEMS.length + 4)
    expect(now).toEqual(printed)
    expect(again.stdout).toBe(first.stdout)
  } finally {
    rmSync(other, { recursive: true })
  }
})

test('the date stands in the report where the recipe asks for it, and nowhere else', async () => {
  song.write(
    'dated.yaml',
    `${song.recipeText.replace('folder: stems', 'folder: dated')}report: { dated: true }\n`,
  )
  const ended = await sumwell(['render', 'dated.yaml', '--quiet', '--no-audio'], { cwd: song.folder })
  expect(ended.status).toBe(0)
  const dates = hashesUnder(join(song.folder, 'dated'))
  for (const stem of STEMS) expect(dates[stem]).toBe(printed[stem])
  const made = (folder: string) =>
    (
      JSON.parse(readFileSync(join(song.folder, folder, 'report.json'), 'utf8')) as {
        made: { at: string | null }
      }
    ).made.at
  expect(made('stems')).toBeNull()
  expect(Math.abs(Date.parse(made('dated')!) - Date.now())).toBeLessThan(600_000)
})

test('--dry-run prints the plan and writes nothing', async () => {
  const before = hashesUnder(song.folder)
  const plan = await sumwell(['render', 'recipe.yaml', '--dry-run'], { cwd: song.folder })
  expect(plan.status).toBe(0)
  for (const stem of STEMS) expect(plan.stdout).toContain(stem)
  expect(plan.stdout).toMatch(/bass\/room +−36[34]\.\d\d +−7\.58\d +inverted +late by 7\.58\d ms, sure/)
  expect(hashesUnder(song.folder)).toEqual(before)
})

test('no command has changed a recording', () => {
  expect(hashesUnder(join(song.folder, 'audio'))).toEqual(recordings)
  expect(Object.keys(recordings)).toHaveLength(5)
})
