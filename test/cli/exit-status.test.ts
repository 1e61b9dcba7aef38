import { expect, test } from 'vitest'
import { exitStatusOf } from '../../src/cli/exit-status.js'
import { FAULT_CODES } from '../../src/terms/fault-codes.js'

test('every code has the status of its kind', () => {
  const statuses = FAULT_CODES.map(code => [code, exitStatusOf([code])] as const)
  expect(statuses.length).toBeGreaterThan(50)
  for (const [code, status] of statuses) {
    const expected = code.startsWith('RECIPE_')
      ? 3
      : { USAGE_ARGUMENTS: 2, NOT_SURE: 4, LOCK_DIFFERS: 5, VERIFY_DIFFERS: 5, INTERRUPTED: 130 }[
          code as string
        ]
    expect([code, status]).toEqual([code, expected ?? 1])
  }
})

test('nothing wrong is 0; of several the one that has to be dealt with first', () => {
  expect(exitStatusOf([])).toBe(0)
  expect(exitStatusOf(['NOT_SURE', 'WAVE_HEADER'])).toBe(1)
  expect(exitStatusOf(['WAVE_HEADER', 'RECIPE_UNIT', 'NOT_SURE'])).toBe(3)
  expect(exitStatusOf(['RECIPE_UNIT', 'INTERRUPTED'])).toBe(130)
})
