import { expect, test } from 'vitest'
import { runawayMotion, type TimedPeaks } from '../../../src/measure/time/runaway.js'

const RATE = 48000
const SEARCH = 1920

/** A block a second; `[lag, height]` of its peaks. */
const blocksOf = (
  count: number,
  peaksAt: (second: number) => readonly (readonly [number, number])[],
): TimedPeaks[] =>
  Array.from({ length: count }, (_, second) => ({
    atSeconds: second,
    peaks: peaksAt(second).map(([lagSamples, height]) => ({ lagSamples, height })),
  }))

test('a jump is seen although notes that repeat leave a faint peak at the old place', () => {
  const motion = runawayMotion(
    blocksOf(40, second =>
      second < 22
        ? [
            [101, 34],
            [260, 10],
          ]
        : [
            [-196, 37],
            [-36, 10],
            [102, 6],
          ],
    ),
    SEARCH,
    RATE,
  )
  expect(motion?.slope).toBe(0)
  expect(motion?.steps).toHaveLength(1)
  expect(motion!.steps[0]!.toSamples - motion!.steps[0]!.fromSamples).toBeCloseTo(-297, 0)
  expect(Math.abs(motion!.steps[0]!.atSeconds - 21.5)).toBeLessThan(1)
})

test('an echo in every block is no second level', () => {
  const echoed = blocksOf(40, () => [
    [101, 30],
    [700, 17],
  ])
  expect(runawayMotion(echoed, SEARCH, RATE)).toBeNull()
})

test('a drift of 200 ppm is a line', () => {
  const perSecond = 200e-6 * RATE
  const motion = runawayMotion(
    blocksOf(300, second => [[Math.round(100 + perSecond * second), 30]]),
    SEARCH,
    RATE,
  )
  expect(motion!.slope).toBeCloseTo(perSecond, 1)
  expect(motion!.steps).toHaveLength(0)
})
