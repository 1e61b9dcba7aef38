import type { FrameGrid } from './frame-grid.js'
import type { ShiftSchedule } from './schedule.js'
import type { BlockTrack } from './track-bands.js'

/** One channel of one source. */
export interface Trace {
  readonly source: number
  readonly channel: number
}

/** What to sum, for all segments of a group alike. Plain data. */
export interface SpectraPlan {
  readonly grid: FrameGrid
  readonly traces: readonly Trace[]
  /** Per source: where its first frame lies in the group's time, frames. */
  readonly startFrames: readonly number[]
  /** Per source: by how much it is read ahead (positive: it is late, and is pulled forward by that much). */
  readonly shifts: readonly ShiftSchedule[]
  /** Pairs of traces, first against second. */
  readonly pairs: readonly (readonly [number, number])[]
  /** Pairs (by index) whose lag is followed over time. */
  readonly tracked: readonly number[]
  /** Also list the clearest lags of every block within so many frames; null: do not. */
  readonly peakRangeSamples: number | null
  /** Per trace: mean square below which a frame does not vote. */
  readonly gates: readonly number[]
  /** Per source: its length, frames. */
  readonly lengths: readonly number[]
  /**
   * Stretch of the group's time that all sources have sound for once they are shifted: outside of it all count as silence, so
   * that a part which only one of them has does not pass for noise. Null: no such cut.
   */
  readonly shared: { readonly startFrame: number; readonly endFrame: number } | null
  /** Stretches of the group's time that count, seconds; null = all. */
  readonly passage: readonly { readonly startSeconds: number; readonly endSeconds: number }[] | null
}

/**
 * Sums over one segment. Spectra have `fftSize / 2 + 1` bins; cross-spectra are `conj(first) * second`, interleaved, and handed on in
 * single precision: there are many of them.
 */
export interface SegmentSpectra {
  readonly fold: number
  readonly firstHop: number
  /** Per trace: mean square of every frame, voting or not; NaN for frames outside of the passage, and for traces of no pair. */
  readonly levels: readonly Float32Array[]
  /** Per trace; empty for those of no pair. */
  readonly autos: readonly Float64Array[]
  readonly cross: readonly Float32Array[]
  /**
   * The same of the frames that hang over the start or end of a file; null without any. Kept apart: a file that is cut in the
   * middle of a sound has a click there, and clicks at the edges of two files line up whatever the paths do.
   */
  readonly edge: {
    readonly autos: readonly Float64Array[]
    readonly cross: readonly Float32Array[]
    /** Per trace: number of these frames. */
    readonly voted: readonly number[]
  } | null
  /** Per pair and register: sums of a, a^2 over frames with a = root of the product of the energies; for counting frames. */
  readonly votes: readonly Float64Array[]
  readonly blocks: readonly BlockTrack[]
  /** Per trace: number of frames that voted. */
  readonly voted: readonly number[]
}
