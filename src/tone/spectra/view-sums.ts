import { letGo } from '../../terms/let-go.js'
import { madeAnew, type Recall } from '../../terms/recall.js'
import type { Pooled } from '../../terms/task.js'
import type { groupSpectra } from './group-spectra.js'
import { segmentsOf, spectralGrid } from './resolution.js'
import { addSegment, type SegmentSums } from './sums.js'
import type { View } from './view.js'

/** A view with more spectra than this (12 signals with all their pairs) is not remembered: the sums of one take 0.1 MB. */
const MOST_REMEMBERED = 150

/**
 * The same as `viewSums`, remembered: gains are no part of a view (but for those that bring sources to one level), so that a blend with other
 * shares finds the sums of the one before.
 */
export const rememberedSums = (
  view: View,
  tasks: Pooled<{ readonly groupSpectra: typeof groupSpectra }>,
  recall: Recall = madeAnew,
): Promise<SegmentSums> => {
  const small = view.signals.length + 2 * view.pairs.length <= MOST_REMEMBERED
  const make = (): Promise<SegmentSums> => viewSums(view, tasks)
  return small ? recall('tone sums', view, make) : make()
}

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
      if (total === null) total = sums
      else {
        total = addSegment(total, sums)
        letGo(sums)
      }
    } catch (error) {
      failure ??= { error }
    }
  }
  if (failure !== null) throw failure.error
  return total!
}
