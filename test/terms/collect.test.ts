import { setTimeout as wait } from 'node:timers/promises'
import { expect, it } from 'vitest'
import { collectAll, collectShortLived } from '../../src/terms/collect.js'

const arrayBytes = (): number => process.memoryUsage().arrayBuffers

/** Nothing holds them afterwards. */
const makeArrays = (count: number): void => {
  for (let i = 0; i < count; i++) new Float64Array(8192).fill(1)
}

it.each([
  ['short-lived values', collectShortLived],
  ['everything', collectAll],
])('%s that nobody holds are given back', async (_what, collect) => {
  collectAll()
  await wait(20)
  const before = arrayBytes()
  makeArrays(200)
  const made = arrayBytes() - before
  expect(made).toBeGreaterThan(8e6)
  collect()
  // The engine gives arrays back beside its other work.
  for (let waited = 0; arrayBytes() - before > made / 4 && waited < 100; waited++) {
    await wait(20)
    collect()
  }
  expect(arrayBytes() - before).toBeLessThan(made / 4)
})

it('leaves nothing standing about', () => {
  collectShortLived()
  expect('gc' in globalThis).toBe(false)
})
