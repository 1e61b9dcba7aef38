/**
 * docs/evidence.md from real runs: `npm run evidence` runs the tests that compare, which note their figures, and writes the page anew. With names
 * of test files only those are run again; with `--page` none. What `npm run coverage` and `npm run mutants` left in coverage/ and .cache/
 * goes in as well; without them what the page says of it stays. `--check` only looks whether every claim that README marks has its rows.
 */
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { claims } from './evidence/claims.js'
import { coverageTable } from './evidence/coverage-table.js'
import { readFigures } from './evidence/figures.js'
import { mutantsTable } from './evidence/mutants-table.js'
import { missingClaims, sectionText } from './evidence/page.js'

const PAGE = 'docs/evidence.md'
const FOLDER = resolve('.cache/evidence')

const former = existsSync(PAGE) ? readFileSync(PAGE, 'utf8') : ''

/** What stands between the marks of a part, as it was: for parts that were not measured now. */
const kept = (name: string): string =>
  former.split(`<!-- ${name} -->`)[1]?.split('<!-- end -->')[0]?.trim() ?? 'Not measured yet.'

const part = (name: string, now: string | null): string =>
  `<!-- ${name} -->\n\n${now ?? kept(name)}\n\n<!-- end -->`

const rows = claims.flatMap(claim => claim.rows)

/** Runs test files that note figures; what they noted before is forgotten. */
const run = (tests: readonly string[]): void => {
  for (const { about } of rows.filter(({ test }) => tests.includes(test)))
    rmSync(join(FOLDER, about), { force: true })
  const env = { ...process.env, CI: 'true', SUMWELL_EVIDENCE: FOLDER }
  const { status } = spawnSync('npx', ['vitest', 'run', ...tests], { stdio: 'inherit', env })
  if (status !== 0) throw new Error('tests fail: no evidence')
}

const write = (): void => {
  const figures = readFigures(FOLDER)
  const text = [
    '# Evidence',
    '',
    'Made by `npm run evidence` from a run of the tests named in the last column; do not edit by hand. Every claim that README marks has its',
    'table here. `npx vitest run FILE` shows one again. "Furthest off" is the worst of all that were compared. Sources are outside the project',
    'wherever there is one; what was computed for a test says so, and "from memory" is said where a printed value was not looked up again.',
    '',
    claims.map(claim => sectionText(claim, figures)).join('\n\n'),
    '',
    '## Would a test notice?',
    '',
    'Mutants are small changes of the source: an operator, a condition, a constant of text or truth, a statement left out. `npm run mutants -- src/decide 200`',
    'draws so many of a room by seed, leaves out what the compiler refuses, and runs the tests of that room (`--wide`: all that read the file)',
    'against each. A mutant that lives is looked at: it is either the same program, or a test is missing. Tests were then written for what lived, so',
    'the last look at the same sample flatters what was not drawn: the interval belongs to the first look, and a fresh sample, drawn by another seed',
    'after the tests were written, says how far they reach. Where slow test files were left out (`--without`) the score can only be lower than that',
    'of all tests: `render` and above all `measure` rest on long tests of made and recorded sounds as well. Under what lived stands why, where it is known.',
    '',
    part('mutants', mutantsTable(kept('mutants'))),
    '',
    '## Coverage',
    '',
    'Lines and branches that the tests run in their own process. What only the built command runs (most of `cli` and `jobs`) is not counted, and the',
    'table is of a run without `test/outside`, `test/end-to-end`, `test/browser`, `test/jobs` and the long tests of measuring; `npm run coverage` has all.',
    'A line that is run is not a line that is checked: see above.',
    '',
    part('coverage', coverageTable()),
    '',
  ].join('\n')
  writeFileSync(PAGE, text)
}

const asked = process.argv.slice(2)
if (!asked.includes('--check')) {
  const all = [...new Set(rows.map(({ test }) => test))].sort()
  const named = asked.filter(name => all.includes(name))
  if (!asked.includes('--page')) run(named.length > 0 ? named : all)
  write()
}
const missing = missingClaims(readFileSync('README.md', 'utf8'), readFileSync(PAGE, 'utf8'), claims)
if (missing.length > 0) {
  process.stderr.write(`${missing.join('\n')}\n`)
  process.exitCode = 1
}
