import type { Pooled } from '../../terms/task.js'
import type { groupSpectra } from './group-spectra.js'
import { segmentsOf, spectralGrid } from './resolution.js'
import { addSegment, type SegmentSums } from './sums.js'
import type { View } from './view.js'

/**
 * The sums over a whole timeline: its pieces go out together and are added in their order as they come in, so that the result does not
 * depend on how many threads there are, nor the memory on the length.
 */
export const viewSums = async (
  view: View,
  tasks: Pooled<{ readonly groupSpectra: typeof groupSpectra }>,
): Promise<SegmentSums> => {
  const grid = spectralGrid(view.sampleRateHz)
  const pieces = Array.from({ length: segmentsOf(grid, view.frames) }, (_, segment) =>
    tasks.groupSpectra({ view, segment }),
  )
  let failure: { readonly error: unknown } | null = null
  let total: SegmentSums | null = null
  // All are waited for, the failed too: no task of ours runs on after this has ended. What was added is let go.
  for (let piece = pieces.shift(); piece !== undefined; piece = pieces.shift()) {
    try {
      const sums = await piece
      total = total === null ? sums : addSegment(total, sums)
    } catch (error) {
      failure ??= { error }
    }
  }
  if (failure !== null) throw failure.error
  return total!
}
