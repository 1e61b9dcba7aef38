import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { rankOf } from '../../src/report/build/warnings.js'
import { WARNING_CODES, type WarningCode } from '../../src/terms/warning.js'

const root = fileURLToPath(new URL('../../', import.meta.url))
const pages = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(root, 'docs')).flatMap(name => (name.endsWith('.md') ? [`docs/${name}`] : [])),
  ...readdirSync(join(root, 'src')).flatMap(room => {
    const page = `src/${room}/README.md`
    return existsSync(join(root, page)) ? [page] : []
  }),
]
const textOf = (page: string): string => readFileSync(join(root, page), 'utf8')

test('every file of ours that a page names is there', () => {
  const named = pages.flatMap(page =>
    [...textOf(page).matchAll(/`((?:src|test|bench|scripts|schemas|recipes|examples)\/[\w./-]+)`/g)].map(
      ([, path = '']) => ({ page, path }),
    ),
  )
  expect(named.length).toBeGreaterThan(80)
  // Written by a build or by a run, and never committed.
  const made = /\/generated\/|^examples\/lantern-street\/(audio|stems)/
  expect(named.filter(({ path }) => !made.test(path) && !existsSync(join(root, path)))).toEqual([])
})

test('every link between pages leads somewhere, to the heading too', () => {
  const links = pages.flatMap(page =>
    [...textOf(page).matchAll(/\]\((?!https?:)([^)\s#]*)(?:#([^)\s]+))?\)/g)].map(
      ([, path = '', heading = null]) => ({
        page,
        target: path === '' ? page : join(dirname(page), path),
        heading,
      }),
    ),
  )
  expect(links.length).toBeGreaterThan(60)
  const headingsOf = (target: string): readonly string[] =>
    [...textOf(target).matchAll(/^#+ (.+)$/gm)].map(([, words = '']) =>
      words
        .toLowerCase()
        .replace(/[^\p{L}\p{N} _-]/gu, '')
        .replaceAll(' ', '-'),
    )
  expect(
    links.filter(
      ({ target, heading }) =>
        !existsSync(join(root, target)) || (heading !== null && !headingsOf(target).includes(heading)),
    ),
  ).toEqual([])
})

test('docs/warnings.md has one row for each warning, with a dot where a person is asked for, and what to do', () => {
  const rows = [
    ...textOf('docs/warnings.md').matchAll(/^\| `([A-Z_]+)` \| (●?) ?\| (.+) \| (.+) \| \[.+\]\(.+\) \|$/gm),
  ]
  expect(rows.map(([, code]) => code).sort()).toEqual([...WARNING_CODES].sort())
  for (const [, code = '', dot, meaning = '', todo = ''] of rows) {
    const rank = rankOf({ code: code as WarningCode, group: null, source: null, message: '' })
    expect([code, dot]).toEqual([code, rank === 0 ? '●' : ''])
    expect([code, meaning.length > 12, todo.length > 12]).toEqual([code, true, true])
  }
})

test('no file of src is longer than 300 lines', () => {
  const sources = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' }).filter(
    name => name.endsWith('.ts') && !name.includes('generated'),
  )
  expect(sources.length).toBeGreaterThan(500)
  const linesOf = (name: string): number => textOf(`src/${name}`).split('\n').length - 1
  expect(sources.filter(name => linesOf(name) > 300)).toEqual([])
})
