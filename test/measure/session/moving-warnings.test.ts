import { expect, test } from 'vitest'
import { measureSession } from '../../../src/measure/measure-session.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import type { Warning } from '../../../src/terms/warning.js'
import { MOVING_RATE_HZ, type MovingCase, type MovingKind, movingCase } from '../../corpus/moving-cases.js'
import { FIXTURE_RATE_HZ, fileSource, group, session } from '../session-fixture.js'

const told = async (kind: MovingKind): Promise<{ c: MovingCase; warnings: readonly Warning[] }> => {
  expect(MOVING_RATE_HZ).toBe(FIXTURE_RATE_HZ)
  const c = movingCase(kind, 'test', 16)
  const { warnings } = await measureSession(
    session([group('g', 'a', [fileSource('a', [c.reference]), fileSource('b', [c.source])])]),
    inProcess(measureTasks),
  )
  return { c, warnings: warnings.filter(({ code }) => code === 'DRIFT' || code === 'STEP') }
}

test('DRIFT tells how much, and how it is corrected', async () => {
  const { c, warnings } = await told('fast-drift')
  expect(warnings.map(({ code, source }) => [code, source])).toEqual([['DRIFT', 'b']])
  const [, ppm = ''] =
    /^Drifts by (−?[\d.]+) ppm .*follow: drift corrects it/.exec(warnings[0]!.message) ?? []
  // The estimate is held against the truth in over-time.test.ts; here, that the sentence has its number and sign.
  expect(Math.abs(Number(ppm.replace('−', '-')) - c.ppm)).toBeLessThan(1)
})

test('STEP tells where and by how much, and how it is corrected', async () => {
  const { c, warnings } = await told('jump')
  expect(warnings.map(({ code, source }) => [code, source])).toEqual([['STEP', 'b']])
  const [, ms = '', at] =
    /^The lag changes by ([+−][\d.]+) ms at ([\d.]+) s: .*follow: steps corrects all/.exec(
      warnings[0]!.message,
    ) ?? []
  expect(Math.abs(Number(at) - c.step!.atSeconds)).toBeLessThan(1)
  expect(Math.abs(Number(ms.replace('−', '-')) - (1000 * c.step!.bySamples) / MOVING_RATE_HZ)).toBeLessThan(
    0.25,
  )
})
