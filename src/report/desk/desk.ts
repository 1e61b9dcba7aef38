import type { Polarity } from '../../measure/measurement.js'

/**
 * What is needed to hear and judge the blends of a group under one's own faders: how each blend is made, and the spectra from which the
 * tone of any other gains and lags follows.
 */
export interface Desk {
  readonly blends: readonly DeskBlend[]
  readonly spectra: DeskSpectra
}

export interface DeskBlend {
  readonly name: string
  readonly channels: number
  /** One per source of the group that is in the blend, in the order of the recipe. */
  readonly strips: readonly DeskStrip[]
}

/** One source of the group in a blend, with what a recipe has to say so that it comes out as delivered. */
export interface DeskStrip {
  readonly source: string
  readonly isReference: boolean
  /** Gain in the blend before anything is turned down for the ceiling, dB: what stands in `parts` with `match: none`. */
  readonly gainDb: number
  /** What is done to it. */
  readonly polarity: Polarity
  /** The lag that it was moved by, frames; null where a recipe cannot state it: the reference, a group, a source that is followed. */
  readonly lagSamples: number | null
  readonly nudgeSamples: number
  /** The recordings behind it: one, or those of the group that the source is. */
  readonly leaves: readonly DeskLeaf[]
}

/** Output = sum over all leaves of gain × recording moved so that its first frame lies at `atSamples`. */
export interface DeskLeaf {
  /** `group/source`, as in `sounds`. */
  readonly source: string
  readonly gain: number
  readonly atSamples: number
  readonly recordedGain: number
  readonly recordedAtSamples: number
  readonly follow: readonly { readonly atSeconds: number; readonly shiftSamples: number }[] | null
  /** Which signal of the spectra it is in each channel of the blend, and how much later it is delivered than it lay there, frames. */
  readonly signals: readonly number[]
  readonly laterSamples: number
}

/**
 * Averaged spectra of what the sources share, in cells of a few neighbouring bins: narrow enough that the tone of a blend follows for
 * any lag of ±5 ms. All lists of numbers are base64 of 32-bit floats, lowest byte first, one per cell.
 */
export interface DeskSpectra {
  /** The first so many cells are those of the low end, which has windows of its own; both parts ascend. */
  readonly lowCells: number
  /** Middle of each cell, Hz. */
  readonly frequenciesHz: string
  /** How many bins each cell holds, and how far apart they lie, Hz. */
  readonly binsInCell: string
  readonly lowBinHz: number
  readonly normalBinHz: number
  /** Energy of each signal. */
  readonly auto: readonly string[]
  /** Of the signals i < j: energy that both share, with the phase of j against i, and the same without regard to phase. */
  readonly pairs: readonly {
    readonly i: number
    readonly j: number
    readonly real: string
    readonly imaginary: string
    readonly magnitude: string
  }[]
  /** Which notes were heard: `energies` by partial, from the fundamental on. */
  readonly notes: {
    readonly heard: number
    readonly played: readonly { readonly midi: number; readonly energies: readonly number[] }[]
    /** What each signal's power counts with in them. */
    readonly weights: readonly number[]
  }
}
