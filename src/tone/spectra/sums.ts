import type { NoteMoment } from '../notes/played.js'
import { windowCorrelation } from './power-window.js'
import type { Resolution } from './resolution.js'

/** Sums of spectra over the frames of one piece of work, or of all: plain data. Not scaled (see `Resolution.scale`). */
export interface SpectralSums {
  /** Sum of |X|^2, one number per bin, per signal. */
  readonly auto: readonly Float64Array[]
  /** Sum of conj(Xi) Xj per pair of the view. */
  readonly real: readonly Float64Array[]
  readonly imaginary: readonly Float64Array[]
  /** Power of each blend as recorded, summed frame by frame, in the order of `View.asRecorded`. */
  readonly asRecorded: readonly Float64Array[]
  /** Sum over the frames of their energy, and of its square: how many frames' worth of sound was averaged. */
  readonly energy: number
  readonly energySquared: number
}

/** What one piece of work gives. */
export interface SegmentSums {
  readonly normal: SpectralSums
  readonly low: SpectralSums
  /** Energy by note and partial: see `notes/played.ts`. */
  readonly notes: Float64Array
  /** Energy of all frames in which notes were looked for. */
  readonly heard: number
  /** When notes sound: see `notes/played.ts`. In the order of time. */
  readonly moments: readonly NoteMoment[]
}

const addInto = (total: Float64Array, more: Float64Array): Float64Array => {
  for (let k = 0; k < total.length; k++) total[k] = total[k]! + more[k]!
  return total
}

const addAll = (totals: readonly Float64Array[], more: readonly Float64Array[]): readonly Float64Array[] =>
  totals.map((total, i) => addInto(total, more[i]!))

const addSums = (total: SpectralSums, more: SpectralSums): SpectralSums => ({
  auto: addAll(total.auto, more.auto),
  real: addAll(total.real, more.real),
  imaginary: addAll(total.imaginary, more.imaginary),
  asRecorded: addAll(total.asRecorded, more.asRecorded),
  energy: total.energy + more.energy,
  energySquared: total.energySquared + more.energySquared,
})

/** Adds a piece of work to the total, whose arrays are written to and handed back. In a fixed order, for the same result. */
export const addSegment = (total: SegmentSums, more: SegmentSums): SegmentSums => ({
  normal: addSums(total.normal, more.normal),
  low: addSums(total.low, more.low),
  notes: addInto(total.notes, more.notes),
  heard: total.heard + more.heard,
  moments: [...total.moments, ...more.moments],
})

/**
 * How many independent frames the average is worth: (sum of energies)^2 / sum of squares, over what overlapping frames have in common
 * (1 + 2 sum of the squares of the window's correlation at whole hops; from memory: Welch 1967). A loud second in a quiet minute
 * counts as one second. At least 1.
 */
export const effectiveFrames = (sums: SpectralSums, { window, hop }: Resolution): number => {
  if (!(sums.energySquared > 0)) return 1
  let shared = 1
  for (let lag = hop; lag < window.length; lag += hop) {
    const left = windowCorrelation(window, lag)
    shared += 2 * left * left
  }
  return Math.max(1, (sums.energy * sums.energy) / sums.energySquared / shared)
}
