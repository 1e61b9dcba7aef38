import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { answerOf } from '../../scripts/audit.js'
import { dependencyTables, runtimeDependencies } from '../../scripts/dependency-list.js'

const root = join(import.meta.dirname, '../..')

test('docs/security.md lists what is installed at run time, with licences', () => {
  const script = ['--import', 'tsx', join(root, 'scripts/dependency-docs.ts'), '--check']
  expect(execFileSync(process.execPath, script, { cwd: root, encoding: 'utf8' })).toBe('')
  expect(readFileSync(join(root, 'docs/security.md'), 'utf8')).toContain(dependencyTables())
  const named = Object.keys(
    (JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { dependencies: object }).dependencies,
  )
  expect(
    runtimeDependencies()
      .filter(({ direct }) => direct)
      .map(({ name }) => name),
  ).toEqual(named.sort())
})

test('an answer of the registry is told from none', () => {
  expect(answerOf('')).toBeNull()
  expect(answerOf('{"message": "405 Method Not Allowed"}')).toBeNull()
  expect(answerOf('<html>')).toBeNull()
  expect(answerOf('{"vulnerabilities": {}}')).toEqual({ vulnerabilities: {} })
})
