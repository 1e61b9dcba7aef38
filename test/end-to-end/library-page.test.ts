import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong } from './setting/song.js'
import { expectFreshBuild, root } from './setting/sumwell.js'

/** Each program of docs/library.md with what it is said to print. */
const page = readFileSync(join(root, 'docs/library.md'), 'utf8')
const examples = [...page.matchAll(/```js\n(.*?)```\n\n```text\n(.*?)```/gs)].map(
  ([, program = '', printed = '']) => ({
    program,
    printed,
  }),
)

let home = ''
beforeAll(() => {
  expectFreshBuild()
  home = mkdtempSync(join(tmpdir(), 'sumwell-library-'))
  renameSync(makeSong(2).folder, join(home, 'song'))
  mkdirSync(join(home, 'node_modules'))
  symlinkSync(root, join(home, 'node_modules/sumwell'))
})
afterAll(() => {
  rmSync(home, { recursive: true, force: true })
})

test('the page shows a program for each function, and no program without its output', () => {
  expect(examples).toHaveLength(page.match(/```js/g)?.length ?? 0)
  expect(examples.length).toBeGreaterThanOrEqual(5)
  const all = examples.map(({ program }) => program).join('\n')
  for (const name of ['check', 'measure', 'plan', 'render', 'report'])
    expect(all).toMatch(new RegExp(`\\b${name}\\(`))
})

test.each(examples)('what example %# prints is what the page says', ({ program, printed }) => {
  const file = join(home, 'example.mjs')
  writeFileSync(file, program)
  const done = spawnSync(process.execPath, [file], { cwd: home, encoding: 'utf8' })
  if (process.env['UPDATE_LIBRARY_PAGE'] === '1') {
    const path = join(root, 'docs/library.md')
    const text = readFileSync(path, 'utf8')
    const from = `${program}\`\`\`\n\n\`\`\`text\n`
    writeFileSync(
      path,
      text.replace(`${from}${printed}\`\`\``, () => `${from}${done.stdout}\`\`\``),
    )
  }
  expect([done.status, done.stdout, done.stderr]).toEqual([0, printed, ''])
})

test('every option that the types know stands in the table, and the other way round', () => {
  const types = readFileSync(join(root, 'dist/index.d.ts'), 'utf8')
  const bodies = [...types.matchAll(/interface \w*SongOptions[^{]*\{(.*?)\n\}/gs)].map(
    ([, body = '']) => body,
  )
  expect(bodies).toHaveLength(3)
  const known = bodies.flatMap(body => [...body.matchAll(/readonly (\w+)\?:/g)].map(([, name]) => name))
  const told = [...page.matchAll(/^\| `(\w+)` \|/gm)].map(([, name]) => name)
  expect(told.sort()).toEqual(known.sort())
})
