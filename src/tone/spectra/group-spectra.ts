import { interrupted } from '../../terms/interrupted.js'
import type { Task } from '../../terms/task.js'
import { spectralGrid } from './resolution.js'
import { SegmentWork } from './segment-work.js'
import type { SegmentSums } from './sums.js'
import { TimelineReader } from './timeline-reader.js'
import type { View } from './view.js'

export interface SegmentInput {
  readonly view: View
  /** Number of the piece of time, from 0: see `segmentsOf`. */
  readonly segment: number
}

/** Blocks that are read before the piece begins: a long window reaches back three, the filter before it and two windows one more. */
const LEAD_BLOCKS = 4

/**
 * Spectral sums of one piece of time of a view, as a stream of blocks. Every frame of the timeline lies in the same windows
 * whichever way the pieces are shared out, and every window belongs to one piece.
 * @throws SumwellError as `openSource`; INTERRUPTED
 */
export const groupSpectra: Task<SegmentInput, SegmentSums> = ({ view, segment }, context) => {
  const grid = spectralGrid(view.sampleRateHz)
  const reader = new TimelineReader(view, grid.blockFrames)
  try {
    const work = new SegmentWork(view, grid, reader)
    const first = segment * grid.segmentFrames
    const end = Math.min(first + grid.segmentFrames, view.frames + LEAD_BLOCKS * grid.blockFrames)
    for (let start = first - LEAD_BLOCKS * grid.blockFrames; start < end; start += grid.blockFrames) {
      if (context.aborted) throw interrupted()
      work.block(start, start >= first)
      if (start >= first) {
        const heard = Math.max(0, Math.min(grid.blockFrames, view.frames - start))
        context.advance((view.sources.length * heard) / view.sampleRateHz)
      }
    }
    return work.result()
  } finally {
    reader.close()
  }
}
