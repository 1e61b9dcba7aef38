import type { CrossSpectrum, GroupSpectra } from './cross-spectra.js'
import type { ToneBins } from './tone-bins.js'

/** How many independent frames were averaged in each resolution; infinity = exact spectra. */
export interface AveragedFrames {
  readonly low: number
  readonly normal: number
}

/** Independent bins to each side over which coherence is pooled. */
const POOL = 4
/** With less sound than that, what is seen is taken as it is: the paths of one performance are related until shown otherwise. */
export const FEWEST = 8

/**
 * Coherence (magnitude squared) without the part that chance makes: unrelated sounds, averaged over K frames, show 1/K on average,
 * and at a true coherence c about c + (1 - c)^2 / K (from memory: Carter 1987). Solved for c; 0 … 1.
 */
export const unbiasedCoherence = (measured: number, frames: number): number => {
  if (measured <= 1 / frames) return 0
  if (measured >= 1 || frames === Number.POSITIVE_INFINITY) return Math.min(1, measured)
  // c^2 / K + c (1 - 2 / K) + 1 / K - measured = 0
  const middle = 1 - 2 / frames
  const root = Math.sqrt(middle * middle + (4 / frames) * (measured - 1 / frames))
  return (2 * (measured - 1 / frames)) / (middle + root)
}

/** Coherence pooled over bins [from, to), one sum over another: a strong line speaks for its neighbourhood. */
const pooledCoherence = (
  cross: CrossSpectrum,
  a: Float64Array,
  b: Float64Array,
  from: number,
  to: number,
): number => {
  let shared = 0
  let both = 0
  for (let k = from; k < to; k++) {
    const re = cross.real[k]!
    const im = cross.imaginary[k]!
    shared += re * re + im * im
    both += a[k]! * b[k]!
  }
  return both > 0 ? Math.min(1, shared / both) : 0
}

const believed = (frames: number): number => (frames < FEWEST ? Number.POSITIVE_INFINITY : frames)

const sharedPart = (
  cross: CrossSpectrum,
  a: Float64Array,
  b: Float64Array,
  bins: ToneBins,
  frames: AveragedFrames,
): CrossSpectrum => {
  const length = a.length
  const real = new Float64Array(length)
  const imaginary = new Float64Array(length)
  for (let k = 0; k < length; k++) {
    const isLow = k < bins.low.count
    const reach = isLow ? POOL * bins.lowOversampling : POOL
    const from = Math.max(isLow ? 0 : bins.low.count, k - reach)
    const to = Math.min(isLow ? bins.low.count : length, k + reach + 1)
    const measured = pooledCoherence(cross, a, b, from, to)
    const coherence = unbiasedCoherence(measured, isLow ? frames.low : frames.normal)
    const kept = measured > 0 ? Math.sqrt(coherence / measured) : 0
    real[k] = kept * cross.real[k]!
    imaginary[k] = kept * cross.imaginary[k]!
  }
  return { real, imaginary }
}

/**
 * The cross-spectra with what chance adds taken off: unrelated sounds over a few frames look as if they had something in common,
 * and would seem to cancel. Fewer frames than `FEWEST` say nothing about chance: then the sounds are believed to be shared.
 */
export const sharedSpectra = (spectra: GroupSpectra, frames: AveragedFrames): GroupSpectra => {
  const averaged = { low: believed(frames.low), normal: believed(frames.normal) }
  return {
    ...spectra,
    cross: spectra.cross.map((cross, p) => {
      const [i, j] = spectra.pairs[p]!
      return sharedPart(cross, spectra.auto[i]!, spectra.auto[j]!, spectra.bins, averaged)
    }),
  }
}
