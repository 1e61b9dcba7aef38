import { expect, test } from 'vitest'
import { countSteps } from '../../../bench/measuring-over-time.js'
import { measureMoving, movingCase } from '../../corpus/moving-cases.js'

const SECONDS = 20
const told = async (kind: Parameters<typeof movingCase>[0], seed = 'test') => {
  const c = movingCase(kind, seed, SECONDS)
  const result = await measureMoving(c)
  expect(result).not.toBeNull()
  return { c, result: result! }
}

test('a still take: no drift, no step, no sway to speak of', async () => {
  const { c, result } = await told('still')
  expect(result).toMatchObject({ drift: null, steps: [], verdict: 'sure' })
  expect(result.swaySamples!).toBeLessThan(0.7)
  expect(result.lagOverTime!.length).toBeGreaterThan(10)
  for (const block of result.lagOverTime!)
    expect(Math.abs(block.lagSamples - c.lagAt(block.atSeconds))).toBeLessThan(5)
})

test('a change of register through a path with its own group delay is no step', async () => {
  expect((await told('register')).result.steps).toEqual([])
})

test('clock drift is told within three of its errors, and the lag is that at the first sound', async () => {
  const { c, result } = await told('drift')
  expect(result.drift).not.toBeNull()
  expect(Math.abs(result.drift!.ppm - c.ppm)).toBeLessThan(Math.max(0.5, 3 * result.drift!.uncertaintyPpm))
})

test('a drift of up to 200 ppm does not spoil the lag', async () => {
  const { c, result } = await told('fast-drift')
  expect(Math.abs(result.drift!.ppm - c.ppm)).toBeLessThan(1)
  const first = result.lagOverTime![0]!
  // A loudspeaker's own delay is up to 0.2 ms.
  expect(Math.abs(result.lagSamples - c.lagAt(first.atSeconds))).toBeLessThan(9.6)
  expect(result.verdict).toBe('sure')
})

test.each(['step', 'jump'] as const)('a %s is found where it is, and nothing else', async kind => {
  const { c, result } = await told(kind)
  expect(countSteps(c, result)).toEqual({ found: true, wrong: 0 })
})

test('a player who sways is told as sway, not as steps', async () => {
  const { result } = await told('sway', 'test 3')
  expect(result.steps).toEqual([])
  // 4.2 frames up and down: 3 rms.
  expect(result.swaySamples!).toBeGreaterThan(1.5)
  expect(result.swaySamples!).toBeLessThan(5)
})
