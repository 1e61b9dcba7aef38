import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, root, sumwell } from './setting/sumwell.js'

/** The package as somebody would install it: unpacked, beside nothing but the packages that it names itself. */
let home: string
let installed: string
let song: Song

const npm = (...args: string[]): string => {
  const done = spawnSync('npm', args, { cwd: root, encoding: 'utf8' })
  if (done.status !== 0) throw new Error(done.stderr)
  return done.stdout
}

beforeAll(() => {
  expectFreshBuild()
  song = makeSong(2)
  home = mkdtempSync(join(tmpdir(), 'sumwell-package-'))
  installed = join(home, 'node_modules/sumwell')
  mkdirSync(installed, { recursive: true })
  const [packed] = JSON.parse(npm('pack', '--ignore-scripts', '--json', '--pack-destination', home)) as [
    { filename: string },
  ]
  const tar = spawnSync('tar', ['-xzf', join(home, packed.filename), '--strip-components=1', '-C', installed])
  expect(tar.status).toBe(0)
  // Only what `dependencies` brings along, no tool of development.
  const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, { dev?: true; optional?: true }>
  }
  const production = Object.entries(lock.packages).flatMap(([path, { dev }]) =>
    dev !== true && /^node_modules\/(@[^/]+\/)?[^/]+$/.test(path) ? [path] : [],
  )
  expect(production).toContain('node_modules/commander')
  for (const path of production) {
    mkdirSync(dirname(join(home, path)), { recursive: true })
    symlinkSync(join(root, path), join(home, path))
  }
})
afterAll(() => {
  song.remove()
  rmSync(home, { recursive: true, force: true })
})

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(name =>
    statSync(join(folder, name)).isFile(),
  )

test('it holds the program, the schemas and the starting recipes, and nothing of development', () => {
  const files = filesIn(installed)
  for (const needed of [
    'package.json',
    'README.md',
    'LICENSE',
    'dist/cli/main.js',
    'dist/index.js',
    'dist/index.d.ts',
    'dist/jobs/pool/worker.js',
    'dist/recipe/generated/recipe-validator.js',
    'schemas/recipe.schema.json',
    'schemas/measure.schema.json',
    'schemas/report.schema.json',
  ]) {
    expect(files).toContain(needed)
  }
  expect(
    files.filter(name => /^(src|test|bench|examples|scripts|\.ci)\/|(?<!\.d)\.ts$|\.mjs$|\.wav$/.test(name)),
  ).toEqual([])
  expect(files.filter(name => name.startsWith('recipes/')).length).toBeGreaterThanOrEqual(8)
})

test('it renders a song from another folder', async () => {
  const program = join(installed, 'dist/cli/main.js')
  const ended = await sumwell(['render', song.recipe, '--quiet'], { cwd: home, program })
  expect(ended).toEqual({ status: 0, stdout: '', stderr: '' })
  expect(filesIn(join(song.folder, 'stems'))).toHaveLength(12)
})

test('it is a library too', () => {
  const program = `import { check } from 'sumwell'
    const song = await check(${JSON.stringify(song.recipe)})
    console.log(song.groups.length)`
  const done = spawnSync(process.execPath, ['--input-type=module', '-e', program], {
    cwd: home,
    encoding: 'utf8',
  })
  expect([done.stdout, done.stderr]).toEqual(['2\n', ''])
})
