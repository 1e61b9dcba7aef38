import type { PairEstimate, PairInput } from '../pair/pair-estimate.js'
import type { PairSums } from '../pair/pair-sums.js'
import type { Peak } from '../pair/search.js'
import type { GridSegment } from '../spectra/frame-grid.js'
import type { SegmentSpectra, SpectraPlan } from '../spectra/segment-spectra.js'

/** One source as the measuring of a group sees it. */
export interface GroupMember {
  readonly name: string
  readonly channels: number
  readonly frames: number
  /** Where its first frame lies in the group's time (the reference's own), frames; from the time stamps. */
  readonly startFrame: number
  /** Lag that the recipe keeps while the polarity is measured, frames: which polarity sums fuller there is told. Null: none. */
  readonly keptSamples?: number | null
}

export interface GroupTask {
  readonly sampleRateHz: number
  readonly members: readonly GroupMember[]
  /** Index into `members`. */
  readonly reference: number
  readonly searchSeconds: number
  readonly passage: SpectraPlan['passage']
}

/** Sums the spectra of one segment, in another thread or in place. */
export type SpectraProvider = (plan: SpectraPlan, segment: GridSegment) => Promise<SegmentSpectra>

/** Peaks of the search over all lags of `-rangeSamples … rangeSamples`, largest first, likewise. */
export type SearchProvider = (question: SearchQuestion) => readonly Peak[] | Promise<readonly Peak[]>

export interface SearchQuestion {
  readonly sums: PairSums
  readonly rangeSamples: number
}

/** Estimates the lag of one pair, likewise. */
export type EstimateProvider = (input: PairInput) => PairEstimate | null | Promise<PairEstimate | null>
