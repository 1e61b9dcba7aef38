import { expect, test, vi } from 'vitest'
import { exactnessOf, type NoiseTrial, noiseTrial } from '../../bench/measuring/noise-trials.js'
import { noisePair } from '../corpus/noise-pair.js'
import { noted } from '../evidence.js'

// Twenty seconds of work; other programs on the machine may want theirs.
vi.setConfig({ testTimeout: 300_000 })

// The Cramér–Rao bound (Knapp & Carter 1976, from memory): sigma = sqrt(3 / (pi^2 N q)), q = rho^2 / (1 + 2 rho); computed values.
test('the bound of the generator is that of the formula', () => {
  for (const [snrDb, sigma] of [
    [20, 3.5677e-4],
    [10, 1.1532e-3],
    [0, 4.3586e-3],
  ] as const) {
    const pair = noisePair('bound', 48000, snrDb)
    const shared = Math.sqrt(48000 / (48000 - Math.abs(pair.lagSamples)))
    expect(pair.boundSamples / shared / sigma).toBeCloseTo(1, 3)
  }
})

// 1.15 for 1 s and 1.1 for 10 s, each widened by three standard errors of its own number of trials; the bench has 4,000.
test.each([
  ['white', 1, 20, 40, 1.15],
  ['white', 1, 10, 40, 1.15],
  ['white', 1, 0, 40, 1.15],
  ['white', 10, 10, 8, 1.1],
  ['falling', 1, 20, 30, 1.15],
  ['band', 1, 20, 40, 1.15],
] as const)(
  '%s, %i s at %i dB: near the bound, without bias, and the stated error is true',
  async (shape, seconds, snrDb, trials, limit) => {
    const kind = { shape, seconds, snrDb }
    const done: NoiseTrial[] = []
    for (let trial = 0; trial < trials; trial++) done.push(await noiseTrial(kind, trial, 'test'))
    const e = exactnessOf(done)
    expect(e.trials).toBe(trials)
    expect(e.outliers).toBe(0)
    const scatter = 3 / Math.sqrt(2 * trials)
    expect(e.ratio).toBeLessThan(limit * (1 + scatter))
    noted('bound-ratio', e.ratio)
    expect(e.ratio).toBeGreaterThan(1 - scatter)
    expect(Math.abs(e.bias)).toBeLessThan(0.1 + 3 / Math.sqrt(trials))
    expect(e.stated).toBeLessThan(1.25 * (1 + scatter))
    expect(e.stated).toBeGreaterThan(0.8 * (1 - scatter))
  },
)
