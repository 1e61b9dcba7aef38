import { writeTable } from './measuring/page.js'
import { run as exactness } from './measuring-exactness.js'
import { run as hard } from './measuring-hard.js'
import { run as outside } from './measuring-outside.js'
import { run as overTime } from './measuring-over-time.js'
import { run as paths } from './measuring-paths.js'

/** All figures of docs/measuring.md, each table written there when it is done. Hours: TRIALS and CASES (environment) make it shorter. */
export const run = async (): Promise<string> => {
  const parts: string[] = []
  for (const [name, title, measured] of [
    ['measuring-exactness', 'Exactness', exactness],
    ['measuring-outside', 'Beside a general-purpose library', outside],
    ['measuring-paths', 'Real paths', paths],
    ['measuring-hard', 'Hard cases', hard],
    ['measuring-over-time', 'Over time', overTime],
  ] as const) {
    const table = await measured()
    writeTable(name, table)
    parts.push(`### ${title}\n\n${table}`)
  }
  return parts.join('\n\n')
}
