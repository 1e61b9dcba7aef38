/** Writes the list of packages in docs/security.md anew: `npm run docs:dependencies`. With --check it only looks whether it is as it should be. */
import { readFileSync, writeFileSync } from 'node:fs'
import { dependencyTables } from './dependency-list.js'

const path = 'docs/security.md'
const page = readFileSync(path, 'utf8')
const fresh = page.replace(
  /(<!-- packages -->\n)[\s\S]*(<!-- end of packages -->)/,
  (_, start: string, end: string) => `${start}${dependencyTables()}${end}`,
)
if (!process.argv.includes('--check')) writeFileSync(path, fresh)
else if (fresh !== page) {
  process.stderr.write(`${path} is stale: npm run docs:dependencies\n`)
  process.exitCode = 1
}
