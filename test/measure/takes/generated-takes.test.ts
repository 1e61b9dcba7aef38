import { expect, test, vi } from 'vitest'
import { noiseTrial } from '../../../bench/measuring/noise-trials.js'
import { poolLags, type SourceInTake } from '../../../src/measure/takes/pool-lags.js'

vi.setConfig({ testTimeout: 300_000 })

const POOLS = 12
const TAKES = 3
const LAG_SAMPLES = 40

/** One take of a second, played anew each time, measured as a song is; its lag moved to the one that all takes have. */
const measuredTake = async (pool: number, n: number): Promise<SourceInTake> => {
  const kind = { shape: 'white', seconds: 1, snrDb: 10 } as const
  const trial = await noiseTrial(kind, pool * TAKES + n, 'takes')
  expect(trial).not.toBeNull()
  const { errorSamples, statedSamples } = trial!
  return {
    song: 'Noise',
    take: String(n),
    isThis: n === 0,
    isSame: false,
    measured: {
      lagSamples: LAG_SAMPLES + errorSamples,
      lagUncertaintySamples: statedSamples,
      arrivalSpreadSamples: 0,
      polarity: 'normal',
      lagVerdict: 'sure',
      polarityVerdict: 'sure',
      drift: null,
      steps: [],
      lagOverTime: null,
    },
  }
}

// The true lag is that of the generator. 12 pools of 3 takes: a root mean square is known to 20 %, and the ratio that is expected lies between
// 0.8 (a scatter found by chance) and 1.
test('three generated takes as one: less error than one take, and the stated error is true', async () => {
  let squares = 0
  let ownSquares = 0
  let pools = 0
  for (let pool = 0; pool < POOLS; pool++) {
    const takes: SourceInTake[] = []
    for (let n = 0; n < TAKES; n++) takes.push(await measuredTake(pool, n))
    const found = poolLags(takes)
    expect(found.used).toBe(true)
    expect(found.takes.map(({ state }) => state)).toEqual(takes.map(() => 'pooled'))
    squares += ((found.lagSamples! - LAG_SAMPLES) / found.uncertaintySamples!) ** 2
    ownSquares += ((found.lagSamples! - LAG_SAMPLES) / found.takes[0]!.lagUncertaintySamples!) ** 2
    pools += 1
  }
  const ratio = Math.sqrt(squares / pools)
  expect(pools).toBe(POOLS)
  expect(ratio).toBeGreaterThan(0.8 * (1 - 3 * 0.2))
  expect(ratio).toBeLessThan(1 + 3 * 0.2)
  // Against what the first take states for itself: 1/sqrt(3) by the bound, and as uncertain.
  expect(Math.sqrt(ownSquares / pools)).toBeLessThan(0.58 * (1 + 3 * 0.2))
})
