import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { expectFreshBuild, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'

let folder = ''
beforeAll(() => {
  expectFreshBuild()
  folder = mkdtempSync(join(tmpdir(), 'sumwell-selfcheck-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true })
})

interface Found {
  readonly machine: { readonly node: string; readonly simd: boolean; readonly transformError: number }
  readonly folder: { readonly path: string; readonly writable: boolean; readonly caseMatters: boolean | null }
  readonly faults: readonly { readonly code: string; readonly file: string }[]
}

const asked = async (place: string, environment: Record<string, string> = {}) => {
  const ended = await sumwell(['selfcheck', place, '--json'], { cwd: folder, environment })
  const document = JSON.parse(ended.stdout) as Found
  expect(schemaErrors('selfcheck', document)).toEqual([])
  return { ...ended, document }
}

test('a machine that is fit: status 0, and nothing is left behind', async () => {
  const { status, stderr, document } = await asked('.')
  expect([status, stderr, document.faults]).toEqual([0, '', []])
  expect(document.machine).toMatchObject({ node: process.versions.node, simd: true })
  expect(document.machine.transformError).toBeLessThan(1e-12)
  expect(document.folder).toMatchObject({ path: folder, writable: true })
  expect(readdirSync(folder)).toEqual([])
})

test('without the fast arithmetic the result is as right', async () => {
  const { status, document } = await asked('.', { SUMWELL_PLAIN: '1' })
  expect(status).toBe(0)
  expect(document.machine.simd).toBe(false)
  expect(document.machine.transformError).toBeLessThan(1e-12)
})

test('a folder that is not there is status 1, in words', async () => {
  const { status, stderr, document } = await asked('nowhere')
  expect([status, document.faults.map(f => f.code)]).toEqual([1, ['WRITE_FAILED']])
  expect(stderr).toContain('there is no folder of that name')
  expect(document.folder).toMatchObject({ writable: false, caseMatters: null })
})

test('for people: one line each', async () => {
  const ended = await sumwell(['selfcheck'], { cwd: folder })
  expect([ended.status, ended.stderr]).toEqual([0, ''])
  expect(ended.stdout).toMatch(/^Sumwell +\d+\.\d+\.\d+\nNode +/)
  expect(ended.stdout).toContain('a file was written, replaced, read back and removed')
})

test.each(['bash', 'zsh', 'fish'])('completion prints a script for %s; nothing else', async shell => {
  const ended = await sumwell(['completion', shell])
  expect([ended.status, ended.stderr]).toEqual([0, ''])
  for (const command of ['check', 'measure', 'render', 'selfcheck']) expect(ended.stdout).toContain(command)
})

test('a shell that is not known is a wrong command line', async () => {
  const ended = await sumwell(['completion', 'csh'])
  expect([ended.status, ended.stdout]).toEqual([2, ''])
  expect(ended.stderr).toContain('bash, zsh, fish')
})
