import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { FAULT_CODES } from '../../src/terms/fault-codes.js'
import { WARNING_CODES } from '../../src/terms/warning.js'
import { FAULT_CASES } from '../recipe/fault-cases.js'
import { AREAS } from '../robustness/areas.js'

const root = join(import.meta.dirname, '../..')

const filesUnder = (folder: string, ending: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => name.endsWith(ending))
    .map(name => join(root, folder, name))

/** Codes that a table provokes by the built command or by the recipe room, and that are looked for there. */
const provoked = new Set<string>([
  ...FAULT_CASES.map(({ code }) => code),
  ...AREAS.flatMap(({ cases }) => cases.flatMap(({ codes }) => codes ?? [])),
])

/**
 * Codes that no table provokes, each with the test that does: what it needs (a slate, stereo pairs, a stamp, a drum in two rooms) is
 * built there.
 */
const ELSEWHERE: Readonly<Record<string, string>> = {
  WRITE_OVER_SOURCE: 'test/render/never-harm.test.ts',
  START_DIFFERS: 'test/measure/measure-session.test.ts',
  STAMP_CONTRADICTED: 'test/measure/health/across-group.test.ts',
  CHANNELS_SWAPPED: 'test/measure/health/swapped-pair.test.ts',
  RATE_LABEL: 'test/measure/health/rate-label.test.ts',
  SLATE_NOT_FOUND: 'test/measure/slate/slate-in-a-take.test.ts',
  SLATE_DIFFERS: 'test/measure/slate/slate-in-a-take.test.ts',
  CLIPPED_STEM: 'test/decide/levels.test.ts',
  PREDICTION_DIFFERS: 'test/tone/check.test.ts',
  NEIGHBOUR_LOSS: 'test/tone/neighbours.test.ts',
  PIECE_MOVED: 'test/pieces/units.test.ts',
  PIECE_LIKE_NEIGHBOUR: 'test/pieces/units.test.ts',
  FALLS_SILENT: 'test/measure/health/falls-silent.test.ts',
  ODD_TAKE: 'test/jobs/other-takes.test.ts',
  TAKES_DISAGREE: 'test/jobs/other-takes.test.ts',
  TAKE_MISSING: 'test/jobs/other-takes.test.ts',
}

test.each([
  ['fault', FAULT_CODES],
  ['warning', WARNING_CODES],
] as const)('every %s is provoked by a test', (_kind, codes) => {
  const missing = codes.filter(code => !provoked.has(code) && !(code in ELSEWHERE))
  expect(missing).toEqual([])
  expect(codes.length).toBeGreaterThan(25)
})

test('those provoked elsewhere are looked for in the test that is named, and only they are named', () => {
  for (const [code, file] of Object.entries(ELSEWHERE)) {
    expect([code, provoked.has(code)]).toEqual([code, false])
    const lines = readFileSync(join(root, file), 'utf8').split('\n')
    const asserted = lines.some(line => line.includes(`'${code}'`) && !/^\s*(\/\/|\*|import)/.test(line))
    expect([code, asserted]).toEqual([code, true])
  }
})

test('every code that is told somewhere in the program is in the closed set, and every one in the set is told', () => {
  const source = filesUnder('src', '.ts')
    .filter(file => !/src\/terms\/(fault-codes|warning)\.ts$|generated/.test(file))
    .map(file => readFileSync(file, 'utf8'))
    .join('\n')
  const silent = [...FAULT_CODES, ...WARNING_CODES].filter(code => !source.includes(`'${code}'`))
  expect(silent).toEqual([])
})
