import { spawnSync } from 'node:child_process'
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, root, sumwell } from './setting/sumwell.js'

/** The package as somebody would install it: unpacked, beside nothing but the packages that it names itself. */
let home: string
let installed: string
let song: Song
let packedBytes = 0

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
    { filename: string; size: number },
  ]
  packedBytes = packed.size
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
  expect([...new Set(files.map(name => name.split('/')[0]))].sort()).toEqual(
    ['CHANGELOG.md', 'LICENSE', 'README.md', 'dist', 'package.json', 'recipes', 'schemas'].sort(),
  )
})

test('it is small: a program file for each source file, types for the interface alone', () => {
  const files = filesIn(installed)
  const bytes = files.reduce((sum, name) => sum + statSync(join(installed, name)).size, 0)
  // Some way above what it was when this was written (0.7 MB packed, 2.5 MB and 730 files unpacked): growth is to be noticed.
  expect(packedBytes).toBeLessThan(900_000)
  expect(bytes).toBeLessThan(3_200_000)
  const types = files.filter(name => name.endsWith('.d.ts'))
  expect(types.length).toBeLessThan(files.filter(name => name.endsWith('.js')).length / 4)
  expect(files.length).toBeLessThan(900)
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

// What is packed is what is used: no declaration file is missing, none is there that the interface does not name, and the page's programs fit them.
test('its types are whole: the programs of docs/library.md are right by them', () => {
  const programs = [...readFileSync(join(root, 'docs/library.md'), 'utf8').matchAll(/```js\n(.*?)```/gs)].map(
    ([, program = '']) => program,
  )
  expect(programs.length).toBeGreaterThanOrEqual(5)
  programs.forEach((program, i) => {
    writeFileSync(join(home, `example-${i}.mts`), program)
  })
  writeFileSync(
    join(home, 'wrong.mts'),
    "import { check } from 'sumwell'\nconst song: number = await check('x')\nvoid song\n",
  )
  const options = { module: 'nodenext', target: 'es2022', noEmit: true, strictNullChecks: true }
  const types = { skipLibCheck: false, types: ['node'], typeRoots: [join(root, 'node_modules/@types')] }
  writeFileSync(
    join(home, 'tsconfig.json'),
    JSON.stringify({ compilerOptions: { ...options, ...types }, include: ['*.mts'] }),
  )
  const done = spawnSync(
    process.execPath,
    [join(root, 'node_modules/typescript/bin/tsc'), '-p', home, '--pretty', 'false'],
    { encoding: 'utf8' },
  )
  const told = done.stdout.split('\n').filter(line => line !== '')
  expect(told.map(line => /^\S*?([\w-]+\.\w+)\(.*(TS\d+)/.exec(line)?.slice(1) ?? line)).toEqual([
    ['wrong.mts', 'TS2322'],
  ])
})
