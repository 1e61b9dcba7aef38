/** What `render` wrote and saw while writing. */
export interface RenderedStem {
  /** As in the plan. */
  readonly name: string
  readonly file: string
  readonly bytes: number
  readonly sha256: string
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly loudnessLufs: number | null
  /** Frames of each part that fell before the start of the stem, with the peak of what was cut. */
  readonly cuts: readonly {
    readonly key: string
    readonly frames: number
    readonly peakDbfs: number | null
  }[]
  /** Chunks of the recording whose metadata the stem carries on that would not be true of it, and markers that are cut off: `PEAK`, `2 of 3 markers`. */
  readonly droppedChunks: readonly string[]
  /** Where a moved file begins or ends above -60 dBFS and was faded in or out over 5 ms. */
  readonly fades: readonly { readonly key: string; readonly edge: 'start' | 'end' }[]
}
