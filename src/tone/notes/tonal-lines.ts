import { MiddleOfFew } from '../../signal/middle-of-few.js'
import * as portable from '../../terms/portable.js'

/** A narrow line in the spectrum of one frame. */
export interface TonalLine {
  readonly frequencyHz: number
  /** Its energy, in the unit of the power spectrum, summed over the main lobe. */
  readonly energy: number
}

/**
 * A line stands this far above the median of its neighbourhood. White noise passes it in one bin of 256 (2^-8), weakly; the fundamental of a
 * bass that has just begun has to pass too.
 */
const ABOVE_MEDIAN = 8
/** And not more than this under the strongest line of the frame: 50 dB. */
const UNDER_STRONGEST = 1e-5
/** Bins over which the median is taken; the lines of a low E lie 14 bins apart. */
const NEIGHBOURHOOD = 64
/** Half the width of the window's main lobe, bins. */
const LOBE = 3

const middle = new MiddleOfFew(NEIGHBOURHOOD)

/** Median of each stretch of bins. */
const floors = (power: Float64Array, bins: number): Float64Array =>
  Float64Array.from({ length: Math.ceil(bins / NEIGHBOURHOOD) }, (_, n) =>
    middle.median(power, n * NEIGHBOURHOOD, Math.min(bins, (n + 1) * NEIGHBOURHOOD)),
  )

const isHighest = (power: Float64Array, k: number): boolean => {
  for (let d = 1; d <= LOBE; d++) {
    if ((power[k - d] ?? 0) > power[k]! || (power[k + d] ?? 0) >= power[k]!) return false
  }
  return true
}

/** Middle of the lobe by a parabola through the logarithms of three bins, in bins. */
const middleOf = (power: Float64Array, k: number): number => {
  const left = portable.log(power[k - 1]! + Number.MIN_VALUE)
  const middle = portable.log(power[k]!)
  const right = portable.log(power[k + 1]! + Number.MIN_VALUE)
  const curvature = left - 2 * middle + right
  return curvature < 0 ? k + (0.5 * (left - right)) / curvature : k
}

/**
 * Lines of one frame, the strongest first. `power`: |X|^2 per bin. Lines nearer to each other than three bins are seen as one.
 * Looks from 25 Hz up to `upToHz`.
 */
export const tonalLines = (power: Float64Array, binHz: number, upToHz: number): TonalLine[] => {
  const bins = Math.min(power.length - 1, Math.floor(upToHz / binHz))
  const floor = floors(power, bins)
  const found: TonalLine[] = []
  let strongest = 0
  for (let k = Math.max(LOBE, Math.ceil(25 / binHz)); k < bins - LOBE; k++) {
    const value = power[k]!
    if (value <= ABOVE_MEDIAN * floor[Math.floor(k / NEIGHBOURHOOD)]! || !isHighest(power, k)) continue
    let energy = 0
    for (let d = -LOBE; d <= LOBE; d++) energy += power[k + d]!
    strongest = Math.max(strongest, energy)
    found.push({ frequencyHz: middleOf(power, k) * binHz, energy })
  }
  return found.filter(line => line.energy >= UNDER_STRONGEST * strongest).sort((a, b) => b.energy - a.energy)
}
