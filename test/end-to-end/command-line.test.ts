import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, main, sumwell } from './setting/sumwell.js'

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(2)
})
afterAll(() => {
  song.remove()
})

test.each([
  [['--help'], 0],
  [['help'], 0],
  [['render', '--help'], 0],
  [['help', 'measure'], 0],
  [['--version'], 0],
  [[], 2],
  [['rendr', 'recipe.yaml'], 2],
  [['render'], 2],
  [['check', '--strct', 'recipe.yaml'], 2],
  [['check', '--jobs', '0', 'recipe.yaml'], 2],
  [['check', '--jobs', 'many', 'recipe.yaml'], 2],
  [['measure', '--dry-run', 'recipe.yaml'], 2],
])('%j ends with %i: help on stdout, a wrong command line on stderr', async (args, status) => {
  const ended = await sumwell(args, { cwd: song.folder })
  expect(ended.status).toBe(status)
  expect(ended.stdout === '').toBe(status === 2)
  expect(ended.stderr === '').toBe(status === 0)
})

test('a misspelt command or option gets the nearest one', async () => {
  const command = await sumwell(['rendr', 'recipe.yaml'])
  expect(command.stderr).toContain('Did you mean render?')
  const option = await sumwell(['check', '--qiet', 'recipe.yaml'])
  expect(option.stderr).toContain('Did you mean --quiet?')
})

test('the version is that of the package', async () => {
  const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }
  expect((await sumwell(['--version'])).stdout).toBe(`${version}\n`)
})

test('--help loads the library of the command line and a few small files of ours, so that it starts at once', () => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-loaded-'))
  spawnSync(process.execPath, [main, '--help'], { env: { ...process.env, NODE_V8_COVERAGE: folder } })
  const loaded = readdirSync(folder).flatMap(name => {
    const { result } = JSON.parse(readFileSync(join(folder, name), 'utf8')) as { result: { url: string }[] }
    return result.map(script => script.url).filter(url => url.startsWith('file:'))
  })
  rmSync(folder, { recursive: true })
  const ours = loaded.flatMap(url => /\/dist\/(.*)$/.exec(url)?.[1] ?? []).sort()
  expect(ours).toEqual([
    'cli/engine.js',
    'cli/exit-status.js',
    'cli/main.js',
    'cli/options.js',
    'cli/program.js',
    'cli/program/common.js',
    'cli/program/on-recipes.js',
    'cli/program/others.js',
    'cli/program/values.js',
    'cli/shells.js',
    'cli/slate-choices.js',
    'jobs/tool.js',
  ])
  const packages = new Set(loaded.flatMap(url => /\/node_modules\/([^/]+)/.exec(url)?.[1] ?? []))
  expect([...packages]).toEqual(['commander'])
})

test('--quiet says nothing where nothing is wrong', async () => {
  for (const command of ['check', 'measure']) {
    const ended = await sumwell([command, 'recipe.yaml', '--quiet'], { cwd: song.folder })
    expect([command, ended]).toEqual([command, { status: 0, stdout: '', stderr: '' }])
  }
  // `render --quiet`: see package.test.ts
})

test('no colour and no control characters in a pipe, whatever the environment says', async () => {
  for (const environment of [
    { NO_COLOR: '' },
    { FORCE_COLOR: '1', NO_COLOR: '' },
    { CI: 'true', NO_COLOR: '' },
  ]) {
    const ended = await sumwell(['check', 'recipe.yaml'], { cwd: song.folder, environment })
    expect(ended.stdout).toContain('piezo')
    expect(`${ended.stdout}${ended.stderr}`).not.toMatch(/[\u0000-\u0009\u000b-\u001f]/)
  }
})

const shell = (line: string) =>
  spawnSync('bash', ['-c', `set -o pipefail; ${line}`], {
    cwd: song.folder,
    encoding: 'utf8',
    env: { ...process.env, NODE: process.execPath, MAIN: main },
  })

test('a reader that leaves early is no fault', () => {
  const help = shell('"$NODE" "$MAIN" --help | head -1')
  expect([help.stdout, help.stderr]).toEqual(['Usage: sumwell <command> [options]\n', ''])
  const gone = shell('("$NODE" "$MAIN" check recipe.yaml --json; echo "status $?" >&2) | true')
  expect(gone.stderr).toBe('Short Song: checking\nstatus 0\n')
})

test.runIf(existsSync('/dev/full'))('output that cannot be written is status 1, in words', () => {
  const full = shell('"$NODE" "$MAIN" check recipe.yaml > /dev/full')
  expect(full.status).toBe(1)
  expect(full.stderr).not.toMatch(/\n\s+at |node:/)
})
