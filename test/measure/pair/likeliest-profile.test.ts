import { describe, expect, test } from 'vitest'
import { evidenceOf, likeliestProfile } from '../../../src/measure/pair/likeliest-profile.js'
import { gaussian } from '../../corpus/random.js'

/*
 * Bands whose mean is the true γ and chance of its known size: for n independent pairs of level 1 the mean in phase has the variance
 * (1 + γ² - ... ) / 2n, close to 1 / 2n for small γ (bivariate complex normal; a fact of statistics, from memory).
 */

const BANDS = 28
const count = (b: number): number => 20 * 2 ** (b / 3)
const bandsOf = (seed: string, gamma: (b: number) => number) => {
  const next = gaussian(seed)
  return Array.from({ length: BANDS }, (_, b) => ({
    count: count(b),
    inPhase: gamma(b) + ((1 - gamma(b) ** 2) * next()) / Math.sqrt(2 * count(b)),
  }))
}
const SEEDS = Array.from({ length: 40 }, (_, i) => `profile ${i}`)
/** −6 dB per octave of sound in noise that does not fall: γ = ρ / (1 + ρ) falls by 12 dB per octave in the end. */
const fading = (b: number): number => {
  const rho = 3 / (1 + 2 ** ((2 * (b - 9)) / 3))
  return rho / (1 + rho)
}

describe('the likeliest profile of coherence', () => {
  test('is that of the bands themselves where they are exact', () => {
    const exact = Array.from({ length: BANDS }, (_, b) => ({ count: 1e7, inPhase: fading(b) }))
    const logs = likeliestProfile(exact)
    for (let b = 0; b < BANDS; b++) expect(Math.abs(Math.exp(logs[b]!) / fading(b) - 1)).toBeLessThan(0.02)
  })

  test('follows a sound that fades to where no band by itself would tell it', () => {
    // Bands 18 … 21: γ of 0.045 … 0.012 against a chance of 0.02 … 0.014 in each.
    let sum = 0
    for (const seed of SEEDS) {
      const logs = likeliestProfile(bandsOf(seed, fading))
      for (let b = 18; b < 22; b++) sum += logs[b]! - Math.log(fading(b))
    }
    // Within a factor of 1.5 on average.
    expect(Math.abs(sum / (4 * SEEDS.length))).toBeLessThan(0.4)
  })

  test('falls as steeply as the bands ask for, and chance does not lift it again', () => {
    let lifted = 0
    for (const seed of SEEDS) {
      const logs = likeliestProfile(bandsOf(seed, b => (b < 12 ? 0.5 : 0)))
      for (let b = 2; b < 11; b++) expect(Math.abs(Math.exp(logs[b]!) - 0.5)).toBeLessThan(0.35)
      for (let b = 14; b < BANDS; b++) if (Math.exp(logs[b]!) > 2 / Math.sqrt(2 * count(b))) lifted++
    }
    expect(lifted).toBeLessThan(0.02 * SEEDS.length * (BANDS - 14))
  })

  test('has a top there: no band does better a little up or down', () => {
    for (const seed of SEEDS.slice(0, 10)) {
      const bands = bandsOf(seed, fading)
      const logs = likeliestProfile(bands)
      const height = (at: Float64Array): number => {
        let sum = evidenceOf(bands, at).reduce((s, e) => s + e, 0)
        for (let b = 1; b + 1 < BANDS; b++) sum -= 4 * (at[b - 1]! - 2 * at[b]! + at[b + 1]!) ** 2
        return sum
      }
      const top = height(logs)
      for (let b = 0; b < BANDS; b++)
        for (const step of [-0.2, 0.2]) {
          const beside = Float64Array.from(logs, (log, i) => (i === b ? Math.min(log + step, -0.0005) : log))
          expect(height(beside)).toBeLessThanOrEqual(top)
        }
    }
  })

  test('the evidence is the likelihood of two complex normal values, against none in common', () => {
    // -n ln(1 - γ²) - n (2 - 2 γ c) / (1 - γ²) + 2 n, worked by hand for n = 10, γ = 0.5, c = 0.6: 2.877 - 18.667 + 20.
    expect(evidenceOf([{ count: 10, inPhase: 0.6 }], Float64Array.of(Math.log(0.5)))[0]).toBeCloseTo(4.21, 2)
  })

  test('silence, chance alone and a perfect copy stay finite', () => {
    for (const bands of [
      Array.from({ length: BANDS }, (_, b) => ({ count: count(b), inPhase: 0 })),
      Array.from({ length: BANDS }, (_, b) => ({ count: count(b), inPhase: -0.3 })),
      Array.from({ length: BANDS }, (_, b) => ({ count: 1000 * count(b), inPhase: 1 })),
    ])
      for (const log of likeliestProfile(bands)) {
        expect(Number.isFinite(log)).toBe(true)
        expect(log).toBeLessThan(0)
      }
  })
})
