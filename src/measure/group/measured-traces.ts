import type { PairEstimate } from '../pair/pair-estimate.js'
import type { Trace } from '../spectra/segment-spectra.js'
import type { Motion } from '../time/motion.js'
import type { GatheredSpectra } from './gather.js'
import type { GroupTask } from './group-input.js'

/** One pair of traces with what was found, and the frames by which the second was read ahead of the first. */
export interface MeasuredPair {
  readonly first: number
  readonly second: number
  /** At the time at which the lags are told, where it changes during the take. */
  readonly shiftSamples: number
  /** Lag within the estimate is what is left after `shiftSamples`. Null: nothing shared. */
  readonly estimate: PairEstimate | null
  /** A lag beyond the search that fits better than the best within; null where none does or none was looked for. */
  readonly beyondSamples: number | null
  /** Lag of a second copy of the sound, further off than the fine window sees; null where there is none. */
  readonly copySamples: number | null
}

export interface MeasuredTraces {
  readonly task: GroupTask
  readonly traces: readonly Trace[]
  /** Pairs with the reference, first; then the others. */
  readonly pairs: readonly MeasuredPair[]
  /** Per source: how it was followed. */
  readonly motions: readonly Motion[]
  /** Of the pairs with the reference, in their order. Of many traces the others are there only where a source has several channels. */
  readonly gathered: GatheredSpectra
  readonly searchSamples: number
}

/** One fine pass with what it gave for the pairs with the reference. */
export interface Round {
  readonly motions: readonly Motion[]
  readonly gathered: GatheredSpectra
  readonly pairs: readonly MeasuredPair[]
}

/** Index of the pair with the reference in which most of a source's sound lines up; null where there is none. */
export const clearestPair = (
  pairs: readonly MeasuredPair[],
  traces: readonly Trace[],
  source: number,
): number | null => {
  let best: number | null = null
  let most = 0
  pairs.forEach((p, i) => {
    const mass = p.estimate?.peaks[0]?.mass ?? 0
    if (traces[p.second]!.source === source && mass > most) {
      most = mass
      best = i
    }
  })
  return best
}
