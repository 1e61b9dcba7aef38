/** Writes docs/robustness.md from what the built command says to each case of test/robustness: `npm run docs:robustness`. */
import { writeFileSync } from 'node:fs'
import { AREAS } from '../test/robustness/areas.js'
import type { RobustCase } from '../test/robustness/case.js'
import { openGrounds } from '../test/robustness/ground.js'
import { robustnessPage, rowOf } from '../test/robustness/page.js'
import { canRun, runCase } from '../test/robustness/run-case.js'

const [only] = process.argv.slice(2)
const grounds = openGrounds()
const rows = new Map<RobustCase, string>()
const complaints: string[] = []
for (const area of AREAS.filter(({ name }) => only === undefined || name === only)) {
  for (const one of area.cases) {
    if (!canRun(one)) throw new Error(`this machine cannot run: ${one.what}; all cases run on Linux as root`)
    try {
      const row = rowOf(one, await runCase(one, grounds))
      rows.set(one, row)
      if (only !== undefined) process.stdout.write(`${row}\n`)
    } catch (error) {
      complaints.push(error instanceof Error ? error.message : String(error))
    }
  }
}
grounds.remove()
if (complaints.length > 0) {
  process.stderr.write(`${complaints.join('\n\n')}\n`)
  process.exitCode = 1
} else if (only === undefined) writeFileSync('docs/robustness.md', robustnessPage(AREAS, rows))
