import { scheduledShift } from './schedule.js'
import type { SpectraPlan } from './segment-spectra.js'

/** Whether a frame with its middle there counts. */
export const inPassage = (plan: SpectraPlan, seconds: number): boolean =>
  plan.passage === null || plan.passage.some(p => seconds >= p.startSeconds && seconds < p.endSeconds)

/** True where the frame holds the first or last frame of any source's file. */
export const overAnEdge = (plan: SpectraPlan, start: number, seconds: number): boolean =>
  plan.startFrames.some((startFrame, source) => {
    const at = startFrame - scheduledShift(plan.shifts[source]!, seconds)
    const end = at + plan.lengths[source]!
    const last = start + plan.grid.windowLength
    return (start < at && last > at) || (start < end && last > end)
  })

/** The frame itself where it lies within the shared stretch, else a copy in `edge` with silence outside of it. */
export const insideShared = (
  plan: SpectraPlan,
  start: number,
  samples: Float64Array,
  edge: Float64Array,
): Float64Array => {
  if (plan.shared === null) return samples
  const before = Math.max(0, plan.shared.startFrame - start)
  const after = Math.max(0, start + samples.length - plan.shared.endFrame)
  if (before === 0 && after === 0) return samples
  edge.set(samples)
  edge.fill(0, 0, Math.min(before, edge.length))
  edge.fill(0, Math.max(0, edge.length - after))
  return edge
}
