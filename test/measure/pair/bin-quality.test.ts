import { describe, expect, test } from 'vitest'
import { binQualities } from '../../../src/measure/pair/bin-quality.js'
import { commonSoundIn, soundFrame } from '../../../src/measure/pair/common-sound.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'
import { gaussian } from '../../corpus/random.js'

/* Two traces with a signal-to-noise ratio of rho(f) each, so that γ² = (rho / (1 + rho))² and q = rho² / (1 + 2 rho). */

const RATE = 16000
const SIZE = 4096
const BINS = SIZE / 2 + 1
const FRAMES = 12

const sumsOf = (seed: string, rho: (hz: number) => number, frames: number): PairSums => {
  const next = gaussian(seed)
  const first = new Float64Array(BINS)
  const second = new Float64Array(BINS)
  const cross = new Float64Array(2 * BINS)
  for (let k = 1; k < BINS - 1; k++) {
    const level = Math.sqrt(rho((k * RATE) / SIZE))
    for (let frame = 0; frame < frames; frame++) {
      const [x, y] = [level * next(), level * next()]
      const [a, b, c, d] = [x + next(), y + next(), x + next(), y + next()]
      first[k] = first[k]! + a * a + b * b
      second[k] = second[k]! + c * c + d * d
      cross[2 * k] = cross[2 * k]! + a * c + b * d
      cross[2 * k + 1] = cross[2 * k + 1]! + a * d - b * c
    }
  }
  return {
    ...{ sampleRateHz: RATE, fftSize: SIZE, windowLength: SIZE, seconds: 1, first, second, cross },
    independent: [frames, frames, frames],
  }
}

const qualityOf = (seed: string, rho: (hz: number) => number, frames = FRAMES): Float64Array => {
  const sums = sumsOf(seed, rho, frames)
  const seen = (degrees: number, maxHalf: number) => commonSoundIn(soundFrame(sums, { degrees, maxHalf }), 0)
  return binQualities(seen(160, 96), seen(1600, 192), 1)
}

const SEEDS = Array.from({ length: 8 }, (_, i) => `quality ${i}`)
const bin = (hz: number): number => Math.round((hz * SIZE) / RATE)
const counting = (quality: Float64Array, fromHz: number, toHz: number): number => {
  const some = quality.subarray(bin(fromHz), bin(toHz))
  return some.filter(q => q > 0).length / some.length
}

describe('which bins count, and for how much', () => {
  test('sound that falls away: its faint treble counts, and for what it is worth', () => {
    // rho of 0.12 at 5 kHz: γ² = 0.011, which chance passes in one bin of six (K = 160).
    const rho = (hz: number): number => 3 * (1000 / Math.max(1000, hz)) ** 2
    let told = 0
    let true_ = 0
    for (const seed of SEEDS) {
      const quality = qualityOf(seed, rho)
      expect(counting(quality, 4000, 5500)).toBeGreaterThan(0.7)
      for (let k = bin(2000); k < bin(5500); k++) {
        const here = rho((k * RATE) / SIZE)
        told += quality[k]!
        true_ += (here * here) / (1 + 2 * here)
      }
    }
    // By third octaves and what is likely between them: no bias from sound that falls away.
    expect(told / true_).toBeGreaterThan(0.85)
    expect(told / true_).toBeLessThan(1.15)
  })

  test('a band that ends: all of it counts, next to nothing beyond', () => {
    for (const seed of SEEDS) {
      const quality = qualityOf(seed, hz => (hz > 100 && hz < 800 ? 100 : 0))
      const most = (fromHz: number, toHz: number) => Math.max(...quality.subarray(bin(fromHz), bin(toHz)))
      expect(counting(quality, 120, 780)).toBe(1)
      expect(most(1000, 2000)).toBeLessThan(0.05)
      expect(most(2000, 7900)).toBeLessThan(1e-3)
    }
  })

  test('noise alone: nothing counts', () => {
    for (const seed of SEEDS)
      expect(
        counting(
          qualityOf(seed, () => 0),
          250,
          8000,
        ),
      ).toBe(0)
  })

  test('a few bins of an octave say nothing, a twentieth of them does', () => {
    const partials = (apartHz: number) =>
      qualityOf('partials', hz => (hz > 2200 && hz < 3800 && bin(hz) % bin(apartHz) === 0 ? 1e5 : 0), 120)
    expect(counting(partials(1500), 2100, 3900)).toBe(0)
    expect(counting(partials(100), 2100, 3900)).toBeGreaterThan(0.1)
  })
})
