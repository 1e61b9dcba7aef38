/** A stretch of the timeline, frames. */
export interface Stretch {
  readonly startFrame: number
  readonly frames: number
}

/** Up to here a take is looked at whole, seconds; of a longer one as many seconds, spread evenly over it. */
const LOOKED_AT_SECONDS = 24

const PROBE_SECONDS = 1

/**
 * Where to look for an attack: the given ranges of the timeline, or probes of a second spread evenly over them where they are long,
 * so that the time it takes does not grow with the song.
 */
export const stretchesOf = (
  ranges: readonly { readonly startFrame: number; readonly endFrame: number }[],
  sampleRateHz: number,
): readonly Stretch[] => {
  const total = ranges.reduce((sum, range) => sum + Math.max(0, range.endFrame - range.startFrame), 0)
  const probe = Math.round(PROBE_SECONDS * sampleRateHz)
  const seldom = Math.max(1, total / (LOOKED_AT_SECONDS * sampleRateHz))
  return ranges.flatMap(({ startFrame, endFrame }) => {
    const stretches: Stretch[] = []
    for (let at = startFrame; at < endFrame; at += probe * seldom) {
      const start = Math.round(at)
      stretches.push({ startFrame: start, frames: Math.min(probe, endFrame - start) })
    }
    return stretches
  })
}
