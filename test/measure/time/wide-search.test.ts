import { expect, test } from 'vitest'
import { judgeCase } from '../../corpus/judge-case.js'
import { movingCase, MOVING_RATE_HZ as RATE } from '../../corpus/moving-cases.js'
import { delayed } from '../../corpus/spectrum.js'

const take = movingCase('still', 'wide search', 9)
/** Of the case itself, frames. */
const AIR = 100

const judged = (source: Float64Array, searchSeconds: number, lagSamples: number) =>
  judgeCase({
    ...{ name: 'wide', kind: 'wide', sampleRateHz: RATE, reference: take.reference, source, searchSeconds },
    ...{ truth: { lagSamples, polarity: 'normal' as const }, knowable: true },
  })

test('a pass that comes back nearly a second late is as exact as one that is not', async () => {
  const near = await judged(take.source, 0.04, AIR)
  const far = await judged(delayed(take.source, 42000.4 - AIR), 1, 42000.4)
  expect([near.sure, far.sure]).toEqual([true, true])
  // The path's own delay is in both; the far one has 0.9 s less in common.
  expect(Math.abs(far.errorSamples! - near.errorSamples!)).toBeLessThan(0.05)
})

test.each([
  { levelDb: 0, sure: false },
  { levelDb: 3, sure: false },
  { levelDb: -6, sure: true },
])('a second copy 0.3 s later at $levelDb dB: sure is $sure', async ({ levelDb, sure }) => {
  const second = delayed(take.source, 14400)
  const heard = take.source.map((v, n) => v + 10 ** (levelDb / 20) * second[n]!)
  const told = await judged(heard, 0.5, AIR)
  expect(told.wronglySure).toBe(false)
  expect(told.sure).toBe(sure)
  if (sure) expect(told.errorSamples).not.toBeNull()
  else expect(told.judged.reason).toMatch(/second copy of the sound lies 300\.0 ms (later|earlier).*echo/)
})
