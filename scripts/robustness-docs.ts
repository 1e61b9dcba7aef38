/**
 * Writes docs/robustness.md from what the built command says to each case of test/robustness: `npm run docs:robustness`, all of it or the parts that
 * are named (`npm run docs:robustness -- paths sound`); of the others the lines that stand there are kept, and only
 * new cases are run (`-- new` runs those alone).
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { AREAS } from '../test/robustness/areas.js'
import type { RobustCase } from '../test/robustness/case.js'
import { openGrounds } from '../test/robustness/ground.js'
import { beginningOf, robustnessPage, rowOf } from '../test/robustness/page.js'
import { canRun, runCase } from '../test/robustness/run-case.js'

const PAGE = 'docs/robustness.md'
const named = process.argv.slice(2)
const lines = named.length === 0 ? [] : readFileSync(PAGE, 'utf8').split('\n')
const grounds = openGrounds()
const rows = new Map<RobustCase, string>()
const complaints: string[] = []
for (const area of AREAS) {
  const again = named.length === 0 || named.includes(area.name)
  for (const one of area.cases) {
    const line = again ? undefined : lines.find(known => known.startsWith(beginningOf(one)))
    if (line !== undefined) {
      rows.set(one, line)
      continue
    }
    if (!canRun(one)) throw new Error(`this machine cannot run: ${one.what}; all cases run on Linux as root`)
    try {
      rows.set(one, rowOf(one, await runCase(one, grounds)))
    } catch (error) {
      complaints.push(error instanceof Error ? error.message : String(error))
    }
  }
}
grounds.remove()
if (complaints.length > 0) {
  process.stderr.write(`${complaints.join('\n\n')}\n`)
  process.exitCode = 1
} else writeFileSync(PAGE, robustnessPage(AREAS, rows))
