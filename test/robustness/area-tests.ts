import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { expectFreshBuild } from '../end-to-end/setting/sumwell.js'
import type { RobustArea } from './case.js'
import { type Grounds, openGrounds } from './ground.js'
import { rowOf, withoutFigures } from './page.js'
import { canRun, runCase } from './run-case.js'

/** Runs every case of a part of the page, and looks whether the page says what was said. */
export const testArea = (area: RobustArea): void => {
  let grounds: Grounds
  let rows: ReadonlySet<string>
  beforeAll(() => {
    expectFreshBuild()
    grounds = openGrounds()
    const page = readFileSync('docs/robustness.md', 'utf8')
    rows = new Set(page.split('\n').flatMap(line => (line.startsWith('| ') ? [withoutFigures(line)] : [])))
  })
  afterAll(() => {
    grounds.remove()
  })

  for (const one of area.cases) {
    // Rights are nothing to the superuser's own files, and only he can be somebody else.
    test.skipIf(!canRun(one))(
      one.what,
      async () => {
        const row = rowOf(one, await runCase(one, grounds))
        // npm run docs:robustness writes it anew
        expect([row, rows.has(withoutFigures(row))]).toEqual([row, true])
      },
      180_000,
    )
  }
}
