import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { exitStatusOf } from '../../src/cli/exit-status.js'
import { FAULT_CODES } from '../../src/terms/fault-codes.js'

const root = join(import.meta.dirname, '../..')

test('docs/recipe.md says what the schema says', () => {
  const script = ['--import', 'tsx', join(root, 'scripts/recipe-docs.ts'), '--check']
  expect(execFileSync(process.execPath, script, { cwd: root, encoding: 'utf8' })).toBe('')
})

test('docs/faults.md has one row for each code, with its exit status, a meaning and how to mend it', () => {
  const page = readFileSync(join(root, 'docs/faults.md'), 'utf8')
  const rows = [...page.matchAll(/^\| `([A-Z0-9_]+)` \| (\d+) \| (.+) \| (.+) \|$/gm)]
  expect(rows.map(row => row[1]).sort()).toEqual([...FAULT_CODES].sort())
  for (const [, code, status, meaning, mend] of rows) {
    expect([code, Number(status)]).toEqual([code, exitStatusOf([code as (typeof FAULT_CODES)[number]])])
    expect([code, meaning!.length > 15, mend!.length > 8]).toEqual([code, true, true])
  }
})
