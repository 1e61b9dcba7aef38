import { turns } from '../../signal/turns.js'
import type { BandSums } from '../spectra/track-bands.js'

/** Cross-spectrum of one stretch of time in bands, with what each band's phase is worth. */
export interface BandPhases {
  /** Interleaved `conj(first) * second`. */
  readonly cross: Float64Array
  /** Product of both energies, rooted. */
  readonly level: Float64Array
  /** Independent values behind each band. */
  readonly degrees: Float64Array
}

/** Neighbouring bins of a Hann frame share: 1.5 bins to one independent value. */
const BINS_PER_VALUE = 1.5

/** The cross-spectrum of a stretch of time per band, with how many independent values each band holds, at least 1. */
export const bandPhases = (
  sums: BandSums,
  edges: readonly number[],
  independentFrames: number,
): BandPhases => ({
  cross: Float64Array.from(sums.cross),
  level: Float64Array.from(sums.first, (a, i) => Math.sqrt(a * sums.second[i]!)),
  degrees: Float64Array.from(sums.first, (_, i) =>
    Math.max(1, (independentFrames * (edges[i + 1]! - edges[i]!)) / BINS_PER_VALUE),
  ),
})

/** Several stretches as one, each turned by its own lag first (frames earlier). */
export const joinedPhases = (
  parts: readonly BandPhases[],
  lags: readonly number[],
  omegas: Float64Array,
): BandPhases => {
  const bands = omegas.length
  const cross = new Float64Array(2 * bands)
  const level = new Float64Array(bands)
  const degrees = new Float64Array(bands)
  const angles = new Float64Array(bands)
  const cosines = new Float64Array(bands)
  const sines = new Float64Array(bands)
  let turnedBy: number | null = null
  parts.forEach((part, p) => {
    const lag = lags[p]!
    // One lag after the other is mostly the same.
    if (!Object.is(lag, turnedBy)) {
      for (let b = 0; b < bands; b++) angles[b] = omegas[b]! * lag
      turns(angles, cosines, sines)
      turnedBy = lag
    }
    for (let b = 0; b < bands; b++) {
      const c = cosines[b]!
      const s = sines[b]!
      cross[2 * b] = cross[2 * b]! + part.cross[2 * b]! * c - part.cross[2 * b + 1]! * s
      cross[2 * b + 1] = cross[2 * b + 1]! + part.cross[2 * b]! * s + part.cross[2 * b + 1]! * c
      level[b] = level[b]! + part.level[b]!
      degrees[b] = degrees[b]! + part.degrees[b]!
    }
  })
  return { cross, level, degrees }
}

/**
 * Variance of a band's phase, rad^2: `(1 - γ²) / (2 K γ²)` with the chance level 1/K taken off γ² (Carter 1987); infinite
 * where γ² is not clear of chance.
 */
export const phaseVariance = (phases: BandPhases, band: number): number => {
  const level = phases.level[band]!
  if (!(level > 0)) return Number.POSITIVE_INFINITY
  const re = phases.cross[2 * band]!
  const im = phases.cross[2 * band + 1]!
  const degrees = phases.degrees[band]!
  const raw = Math.min(1, (re * re + im * im) / (level * level))
  const gamma = (raw - 1 / degrees) / (1 - 1 / Math.max(1.5, degrees))
  if (gamma < 3 / degrees || gamma <= 0) return Number.POSITIVE_INFINITY
  return Math.max(1e-6, (1 - Math.min(0.9999, gamma)) / (2 * degrees * gamma))
}
