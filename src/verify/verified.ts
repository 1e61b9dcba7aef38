import type { ResidualLag } from '../report/report.js'

/** What `verify` found in one folder of delivery. Plain data; every field is always there. */
export interface Verified {
  readonly folder: string
  readonly song: string
  readonly take: string | null
  readonly stems: readonly VerifiedStem[]
  readonly blends: readonly VerifiedBlend[]
  /** What is left of the lags, measured again on the stems; null where it was not asked for. */
  readonly lags: readonly ResidualLag[] | null
  /** WAVE files in the folder that are not of this delivery. */
  readonly others: readonly string[]
  readonly differences: readonly Difference[]
}

/** Something that is not as the delivery says. */
export interface Difference {
  /** File name inside the folder; null where it is about the whole. */
  readonly file: string | null
  readonly message: string
}

export interface VerifiedStem {
  readonly file: string
  /** Of the bytes that are there; null where the file cannot be read. */
  readonly sha256: string | null
  readonly frames: number | null
  readonly sampleRateHz: number | null
  readonly stampSamples: number | null
}

export interface VerifiedBlend {
  readonly name: string
  readonly file: string
  /** Peak of what is left when the single stems, each with its gain, are taken away from the blend; null for nothing at all. */
  readonly leftDbfs: number | null
  /** More than rounding can leave would be above this; null where nothing was compared. */
  readonly allowedDbfs: number | null
  /** Why it was not compared; null where it was. */
  readonly notCompared: string | null
}
