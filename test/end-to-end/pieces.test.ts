import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { newSongFolder, path, played, RATE, write } from '../pieces/setting.js'
import { expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'

const SECONDS = 9
const [IN, OUT] = [4 * RATE, 6.5 * RATE]
const RECIPE = `recipe: 1
song: Pieces
groups:
  bass:
    reference: direct
    sources:
      direct: { pieces: [direct.wav, { file: direct-punch.wav, at: 0:04 }] }
      mic: { via: mic, pieces: [mic.wav, { file: mic-punch.wav, at: 0:04 }] }
    blends:
      bass: { parts: { direct: 50, mic: 50 } }
deliver: { folder: stems }
`

const sound = played('take', SECONDS)
const writeTakes = (folder: string): void => {
  write(folder, 'direct.wav', [path(sound, 0, 'direct')], { depth: 24 })
  write(folder, 'mic.wav', [path(sound, 95.31, 'mic')], { depth: 24 })
  write(folder, 'direct-punch.wav', [path(sound, 0, 'punch').subarray(IN, OUT + 4800)], { depth: 24 })
  writePunch(folder, 115.01)
}
const writePunch = (folder: string, lag: number): void => {
  write(folder, 'mic-punch.wav', [path(sound, lag, 'mic punch').subarray(IN, OUT + 4800)], { depth: 24 })
}

beforeAll(() => {
  expectFreshBuild()
})

const newSong = (): { folder: string; cwd: string } => {
  const folder = newSongFolder()
  writeTakes(folder)
  return { folder, cwd: folder }
}
const run = (cwd: string, ...words: string[]) => sumwell([...words, '--quiet'], { cwd })

// Nine runs of the command in a row: on a busy machine they take their time.
test('a song in pieces from check to verify, the same bytes on any number of threads', async () => {
  const [one, two] = [newSong(), newSong()]
  for (const { folder } of [one, two]) {
    writeFileSync(join(folder, 'recipe.yaml'), RECIPE)
  }
  const checked = await run(one.cwd, 'check', 'recipe.yaml', '--json')
  expect([checked.status, schemaErrors('check', JSON.parse(checked.stdout))]).toEqual([0, []])
  const { files } = (JSON.parse(checked.stdout) as { songs: { files: number }[] }).songs[0]!
  expect(files).toBe(4)

  const measured = await run(one.cwd, 'measure', 'recipe.yaml', '--json')
  const told = JSON.parse(measured.stdout) as {
    songs: { groups: { sources: { pieces: { piece: number; lagSamples: number; verdict: string }[] }[] }[] }[]
    warnings: { code: string }[]
  }
  expect([measured.status, schemaErrors('measure', told)]).toEqual([0, []])
  const [, mic] = told.songs[0]!.groups[0]!.sources
  expect(mic!.pieces.map(({ piece, verdict }) => [piece, verdict])).toEqual([
    [1, 'sure'],
    [2, 'sure'],
  ])
  expect(told.warnings.map(({ code }) => code)).toContain('PIECE_MOVED')

  const rendered = await run(one.cwd, 'render', 'recipe.yaml', '--jobs', '1', '--lags', '--json')
  expect(rendered.status).toBe(0)
  expect((await run(two.cwd, 'render', 'recipe.yaml', '--jobs', '3', '--lags')).status).toBe(0)
  expect(hashesUnder(join(one.folder, 'stems'))).toEqual(hashesUnder(join(two.folder, 'stems')))
  expect((await run(one.cwd, 'verify', 'stems', '--lags')).status).toBe(0)

  const report = JSON.parse(readFileSync(join(one.folder, 'stems/report.json'), 'utf8')) as {
    files: { file: string; sha256: string | null }[]
    groups: { blends: { tone: { check: { worstDifferenceDb: number } } }[] }[]
  }
  expect(schemaErrors('report', report)).toEqual([])
  expect(report.files.slice(0, 4).map(({ file, sha256 }) => [file, sha256?.length])).toEqual(
    ['direct.wav', 'direct-punch.wav', 'mic.wav', 'mic-punch.wav'].map(name => [name, 64]),
  )
  expect(Math.abs(report.groups[0]!.blends[0]!.tone.check.worstDifferenceDb)).toBeLessThan(0.1)
  const sheet = readFileSync(join(one.folder, 'stems/handoff.md'), 'utf8')
  expect(sheet).toContain('mic, piece 2')

  // The lock holds each piece; with it the same is done again, and a new punch-in is told.
  const lock = readFileSync(join(one.folder, 'recipe.lock.yaml'), 'utf8')
  expect(lock.match(/audioSha256/g)).toHaveLength(6)
  expect((await run(one.cwd, 'render', 'recipe.yaml', '--locked')).status).toBe(0)
  writePunch(one.folder, 130.4)
  const differing = await run(one.cwd, 'render', 'recipe.yaml', '--locked')
  expect(differing.status).toBe(5)
  expect(differing.stderr).toContain('the recording of bass/mic')
  expect((await run(one.cwd, 'render', 'recipe.yaml')).status).toBe(0)
  const now = readFileSync(join(one.folder, 'recipe.lock.yaml'), 'utf8')
  expect(now).not.toBe(lock)
  expect(now).toMatch(/lagSamples: 130\.[34]/)
}, 240_000)
