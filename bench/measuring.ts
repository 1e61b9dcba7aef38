import { run as exactness } from './measuring-exactness.js'
import { run as hard } from './measuring-hard.js'
import { run as outside } from './measuring-outside.js'
import { run as overTime } from './measuring-over-time.js'
import { run as paths } from './measuring-paths.js'

/** All figures of docs/measuring.md. Hours on a slow machine: TRIALS and CASES (environment) make it shorter. */
export const run = async (): Promise<string> => {
  const parts: string[] = []
  for (const [title, table] of [
    ['Exactness', exactness],
    ['Real paths', paths],
    ['Hard cases', hard],
    ['Over time', overTime],
    ['Beside a general-purpose library', outside],
  ] as const) {
    parts.push(`### ${title}\n\n${await table()}`)
  }
  return parts.join('\n\n')
}
