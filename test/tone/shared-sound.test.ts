import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../src/signal/random.js'
import { hann } from '../../src/signal/windows.js'
import { blendPower } from '../../src/tone/predict/blend-power.js'
import type { GroupSpectra } from '../../src/tone/predict/cross-spectra.js'
import { lossDb } from '../../src/tone/predict/loss.js'
import { sharedSpectra, unbiasedCoherence } from '../../src/tone/predict/shared-sound.js'
import type { Resolution } from '../../src/tone/spectra/resolution.js'
import { effectiveFrames, type SpectralSums } from '../../src/tone/spectra/sums.js'
import { binsAt } from './setting/spectra.js'

const gaussians = (seed: string): (() => number) => {
  const random = seededRandom(seed)
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}

/** Averages over `frames` independent frames of two sounds of coherence `gammaSquared`, in every bin. */
const averaged = (frames: number, gammaSquared: number, count: number, seed: string): GroupSpectra => {
  const draw = gaussians(seed)
  const shared = Math.sqrt(gammaSquared)
  const own = Math.sqrt(1 - gammaSquared)
  const auto = [new Float64Array(count), new Float64Array(count)]
  const cross = { real: new Float64Array(count), imaginary: new Float64Array(count) }
  for (let k = 0; k < count; k++) {
    for (let f = 0; f < frames; f++) {
      const [a, b] = [draw(), draw()]
      const [c, d] = [shared * a + own * draw(), shared * b + own * draw()]
      auto[0]![k]! += a * a + b * b
      auto[1]![k]! += c * c + d * d
      cross.real[k]! += a * c + b * d
      cross.imaginary[k]! += a * d - b * c
    }
  }
  const bins = binsAt(Array.from({ length: count }, (_, k) => 1000 + k))
  return { bins, auto, pairs: [[0, 1]], cross: [cross] }
}

/** Loss of the two as they are, all bins together. */
const lossOf = (spectra: GroupSpectra): number => {
  const parts = [0, 1].map(signal => ({ signal, gain: 1, laterSeconds: 0 }))
  const { power, inPhase } = blendPower(parts, spectra)
  const total = (values: Float64Array): number => values.reduce((a, b) => a + b, 0)
  return lossDb(total(power), total(inPhase))!
}

describe('what chance makes of coherence', () => {
  test.each([4, 8, 32, 256])(
    'K = %d: nothing left of 1/K, all left of 1, and in between the formula solved',
    frames => {
      expect(unbiasedCoherence(1 / frames, frames)).toBe(0)
      expect(unbiasedCoherence(1, frames)).toBe(1)
      for (const c of [0.1, 0.3, 0.5, 0.83, 0.99]) {
        const seen = c + ((1 - c) * (1 - c)) / frames
        expect(unbiasedCoherence(seen, frames)).toBeCloseTo(c, 12)
      }
    },
  )

  // Check value: K = 8, true 0.5: mean of what is seen 0.5353 (simulated, 60 000); taking 1/K off overshoots to 0.4690.
  test('K = 8, seen 0.5353: nearer to 0.5 than taking 1/K off', () => {
    expect(Math.abs(unbiasedCoherence(0.5353, 8) - 0.5)).toBeLessThan(0.01)
  })
})

describe('sound that the parts do not share cancels nothing', () => {
  test('unrelated noise over 12 frames: 1.2 dB of loss as averaged, next to none when chance is taken off', () => {
    const spectra = averaged(12, 0, 3000, 'unrelated')
    expect(lossOf(spectra)).toBeGreaterThan(0.9)
    expect(lossOf(sharedSpectra(spectra, { low: 12, normal: 12 }))).toBeLessThan(0.35)
  })

  test('over 150 frames: under 0.1 dB', () => {
    const spectra = averaged(150, 0, 600, 'unrelated too')
    expect(lossOf(sharedSpectra(spectra, { low: 150, normal: 150 }))).toBeLessThan(0.1)
  })

  test('what is truly shared stays: coherence 0.64 keeps its cross-spectrum within 2 %', () => {
    const spectra = averaged(64, 0.64, 600, 'related')
    const kept = sharedSpectra(spectra, { low: 64, normal: 64 })
    const size = (g: GroupSpectra): number => g.cross[0]!.real.reduce((a, b) => a + b, 0)
    expect(size(kept) / size(spectra)).toBeGreaterThan(0.98)
    expect(size(kept) / size(spectra)).toBeLessThanOrEqual(1)
  })

  test('fully coherent, or too few frames to know: left as it is', () => {
    const coherent = averaged(20, 1, 50, 'one')
    const kept = sharedSpectra(coherent, { low: 20, normal: 20 })
    const few = averaged(3, 0, 50, 'few')
    const keptFew = sharedSpectra(few, { low: 3, normal: 3 })
    for (let k = 0; k < 50; k++) {
      expect(kept.cross[0]!.real[k]).toBeCloseTo(coherent.cross[0]!.real[k]!, 9)
      expect(keptFew.cross[0]!.real[k]).toBeCloseTo(few.cross[0]!.real[k]!, 9)
    }
  })
})

test('parts that were more than 50 ms apart add as powers where echoes are asked for, and keep what they share', () => {
  const bins = binsAt([1000])
  const spectra: GroupSpectra = {
    bins,
    auto: [Float64Array.of(1), Float64Array.of(1)],
    pairs: [[0, 1]],
    cross: [{ real: Float64Array.of(1), imaginary: Float64Array.of(0) }],
  }
  const apart = (seconds: number, echo?: number) =>
    blendPower(
      [
        { signal: 0, gain: 1, laterSeconds: 0 },
        { signal: 1, gain: 1, laterSeconds: seconds },
      ],
      spectra,
      echo,
    )
  // 300 ms are 300 whole periods: in phase if taken as a comb.
  expect(apart(0.3).power[0]).toBeCloseTo(4, 9)
  expect(apart(0.3, 0.05).power[0]).toBe(2)
  expect(apart(0.3, 0.05).inPhase[0]).toBeCloseTo(4, 12)
  expect(apart(0.04, 0.05).power[0]).toBeCloseTo(4, 9)
})

test('frames that overlap are worth fewer (Welch 1967): Hann windows a quarter apart just over half; a loud frame counts as one', () => {
  const window = hann(4096)
  const sums = (energies: readonly number[]): SpectralSums =>
    ({
      energy: energies.reduce((sum, e) => sum + e, 0),
      energySquared: energies.reduce((sum, e) => sum + e * e, 0),
    }) as SpectralSums
  const worth = (energies: readonly number[], hop: number) =>
    effectiveFrames(sums(energies), { window, hop } as Resolution)
  const level = Array.from({ length: 100 }, () => 3)
  // 1 + 2 (0.659155² + (1/6)² + 0.007512²), the window's correlation at a quarter, a half and three quarters of its length.
  expect(worth(level, 1024)).toBeCloseTo(100 / 1.92465, 3)
  expect(worth(level, 4096)).toBeCloseTo(100, 9)
  expect(worth([...level, 3e4], 4096)).toBeCloseTo((300 + 3e4) ** 2 / (900 + 9e8), 6)
  expect(worth([5], 1024)).toBe(1)
  expect(worth([], 1024)).toBe(1)
})
