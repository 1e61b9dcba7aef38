/** Anything that yields frames of one source: an open file, or arrays in memory. Zeros outside of what it holds. */
export interface FrameSource {
  readonly channels: number
  /** Fills one array per channel with the frames from `startFrame` on; may be negative or beyond the end. */
  read(startFrame: number, into: readonly Float64Array[]): void
}

/** Planar samples in memory as a source. */
export const arraySource = (planar: readonly Float64Array[]): FrameSource => ({
  channels: planar.length,
  read: (startFrame, into) => {
    planar.forEach((samples, channel) => {
      const target = into[channel]!
      target.fill(0)
      const from = Math.max(0, startFrame)
      const to = Math.min(samples.length, startFrame + target.length)
      if (to > from) target.set(samples.subarray(from, to), from - startFrame)
    })
  },
})
