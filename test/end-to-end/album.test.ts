import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Album } from '../../src/report/album/album.js'
import { makeSong } from './setting/song.js'
import { expectFreshBuild, main, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'

let root = ''
beforeAll(() => {
  expectFreshBuild()
  root = mkdtempSync(join(tmpdir(), 'sumwell-album-'))
  const song = makeSong(1.5)
  for (const name of ['a', 'b', 'wrong']) {
    cpSync(song.folder, join(root, name), { recursive: true })
    writeFileSync(join(root, name, 'recipe.yaml'), song.recipeText.replace('Short Song', `Song ${name}`))
  }
  writeFileSync(join(root, 'wrong/recipe.yaml'), 'recipe: 1\nsong: [\n')
  song.remove()
})
afterAll(() => {
  rmSync(root, { recursive: true })
})

const read = (name = 'album.json'): Album => {
  const album = JSON.parse(readFileSync(join(root, name), 'utf8')) as Album
  expect(schemaErrors('album', album)).toEqual([])
  return album
}
const told = ({ songs }: Album) => songs.map(({ recipe, song, state }) => [recipe, song, state])
const ALL = [
  ['a/recipe.yaml', 'Song a', 'done'],
  ['b/recipe.yaml', 'Song b', 'done'],
  ['wrong/recipe.yaml', null, 'failed'],
]

test('a folder of songs: what is wrong with one does not stop the others; the summary tells all; the status is the worst', async () => {
  const ended = await sumwell(['render', '.', '--no-audio'], { cwd: root })
  expect(ended.status).toBe(3)
  expect(ended.stderr).toContain('0 of 2 done: Song a: measuring\n')
  expect(ended.stderr).toMatch(/\n[01] of 2 done: Song b: measuring\n/)
  expect(ended.stdout).toMatch(/\nAll songs: album\.html\n$/)
  const album = read()
  expect(told(album)).toEqual(ALL)
  expect(album.songs.map(({ changes }) => changes)).toEqual([null, null, null])
  expect(readFileSync(join(root, 'album.html'), 'utf8')).toContain('href="./a/stems/report.html"')
})

test('songs side by side leave the same bytes as one after the other; the JSON names the files of the summary', async () => {
  const sums = () =>
    Object.fromEntries(
      ['a', 'b'].flatMap(name =>
        readdirSync(join(root, name, 'stems')).map(file => {
          const bytes = readFileSync(join(root, name, 'stems', file))
          return [`${name}/${file}`, createHash('sha256').update(bytes).digest('hex')]
        }),
      ),
    )
  const before = sums()
  for (const jobs of ['1', '3']) {
    const ended = await sumwell(
      ['render', '.', '--no-audio', '--force', '--jobs', jobs, '--json', '--quiet'],
      {
        cwd: root,
      },
    )
    expect(ended.status).toBe(3)
    const document = JSON.parse(ended.stdout) as { songs: { song: string }[]; album: unknown }
    expect(schemaErrors('render', document)).toEqual([])
    expect(document.songs.map(({ song }) => song)).toEqual(['Song a', 'Song b'])
    expect(document.album).toEqual({ json: join(root, 'album.json'), page: join(root, 'album.html') })
    expect(sums()).toEqual(before)
  }
  expect(Object.keys(before).length).toBeGreaterThanOrEqual(10)
})

/** GNU parallel runs the shards. Where it is missing that is told; in CI it is a failure. */
const parallel = spawnSync('parallel', ['--version']).status === 0
const withParallel = (name: string, check: () => Promise<void>) => {
  if (parallel || process.env['CI'] !== undefined) test(name, check)
  else {
    console.warn(`NOT CHECKED, GNU parallel is not on this machine: ${name}`)
    test.skip(name, check)
  }
}

const RENDER_PART = ['render', '.', '--no-audio', '--quiet', '--shard', '{}/2']
const BOTH_SHARDS = [process.execPath, main, ...RENDER_PART, ':::', '1', '2']

withParallel('shards side by side, then merged: the same songs, and what changed since', async () => {
  expect(parallel).toBe(true)
  const recipe = join(root, 'b/recipe.yaml')
  writeFileSync(recipe, readFileSync(recipe, 'utf8').replace('top: 60, bottom: 40', 'top: 50, bottom: 50'))
  const run = spawnSync('parallel', ['--will-cite', '-j2', ...BOTH_SHARDS], { cwd: root, encoding: 'utf8' })
  // The number of jobs that failed: the one that told of the wrong recipe.
  expect(run.status).toBe(1)
  const parts = [1, 2].map(n => read(`album.shard-${n}-of-2.json`))
  expect(parts.map(({ shard }) => shard?.number)).toEqual([1, 2])
  expect(parts.flatMap(told).sort()).toEqual(ALL)
  expect(parts.map(({ songs }) => songs.filter(s => s.state === 'done').length)).toEqual([1, 1])
  const merged = await sumwell(['merge', '.', '--json'], { cwd: root })
  expect(merged.status).toBe(3)
  expect(schemaErrors('merge', JSON.parse(merged.stdout))).toEqual([])
  expect(JSON.parse(merged.stdout)).toMatchObject({ done: 2, failed: 1 })
  expect(told(read())).toEqual(ALL)
  expect(read().songs.map(({ changes }) => changes)).toEqual([[], ['stem snare has other bytes'], []])
})

withParallel('the remote mode of GNU parallel: two hosts, each by a shell in the place of ssh', async () => {
  const shell = join(root, 'here.sh')
  writeFileSync(
    shell,
    '#!/bin/sh\n# [options] HOST [--] COMMAND, run here\nwhile :; do case "$1" in -[lpoFiS]) shift 2;; -*) shift;; *) break;; esac; done\nshift\n' +
      '[ "$1" = "--" ] && shift\nexec sh -c "$*"\n',
    { mode: 0o755 },
  )
  const hosts = ['--ssh', shell, '--sshlogin', '1/one,1/two', '--workdir', root]
  // Where SHELL is not set, as in a bare container, GNU parallel loses the status of a remote job: it is named.
  const env = { ...process.env, SHELL: '/bin/sh' }
  const run = spawnSync('parallel', ['--will-cite', ...hosts, ...BOTH_SHARDS], {
    cwd: root,
    encoding: 'utf8',
    env,
  })
  expect(run.status).toBe(1) // the number of jobs that failed: the one that told of the wrong recipe
  const merged = await sumwell(['merge', '.', '--json'], { cwd: root })
  expect([merged.status, JSON.parse(merged.stdout)]).toMatchObject([3, { done: 2, failed: 1 }])
})

test('a missing shard is told, and nothing is written', async () => {
  rmSync(join(root, 'album.shard-2-of-2.json'), { force: true })
  writeFileSync(
    join(root, 'album.shard-1-of-2.json'),
    JSON.stringify({ ...read(), shard: { number: 1, of: 2 } }),
  )
  const before = readFileSync(join(root, 'album.json'), 'utf8')
  const ended = await sumwell(['merge', '.'], { cwd: root })
  expect(ended.status).toBe(2)
  expect(ended.stderr).toContain('shard 2 of 2 is missing')
  expect(readFileSync(join(root, 'album.json'), 'utf8')).toBe(before)
  writeFileSync(join(root, 'album.shard-1-of-2.json'), '{}')
  const damaged = await sumwell(['merge', '.'], { cwd: root })
  expect([damaged.status, damaged.stderr.includes('REPORT_UNREADABLE')]).toEqual([1, true])
})

test.each(['0/2', '3/2', '2', 'a/b', '1/0'])('--shard %s is a wrong command line', async text => {
  expect((await sumwell(['render', '.', '--shard', text], { cwd: root })).status).toBe(2)
})

test('several recipes for check: the others are checked beside a wrong one', async () => {
  const ended = await sumwell(['check', 'a', 'wrong/recipe.yaml', '--json', '--quiet'], { cwd: root })
  expect(ended.status).toBe(3)
  const document = JSON.parse(ended.stdout) as { songs: { song: string }[]; faults: { code: string }[] }
  expect(document.songs.map(({ song }) => song)).toEqual(['Song a'])
  expect(document.faults.map(({ code }) => code)).toEqual(['RECIPE_SYNTAX'])
})
