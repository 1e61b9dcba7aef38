import type { PlannedStem } from '../decide/plan.js'
import { float64 } from '../signal/kernel/arena.js'
import { interrupted } from '../terms/interrupted.js'
import type { TaskContext } from '../terms/task.js'

/** Frames at a time, and fewer where there are many channels: what a stem takes in memory does not grow with its length. */
const BLOCK_FRAMES = 32768
const WIDE_BLOCK_FRAMES = 8192
const WIDE_CHANNELS = 8

/** Frames of a block: fewer for many channels, so that memory does not grow with them. */
export const blockFrames = (channels: number): number =>
  channels > WIDE_CHANNELS ? WIDE_BLOCK_FRAMES : BLOCK_FRAMES

/**
 * Walks through stems of one length side by side, block by block, with one set of buffers for all, and stops where the run is interrupted.
 * @throws SumwellError INTERRUPTED
 */
export const forEachBlock = (
  stems: readonly Pick<PlannedStem, 'channels' | 'frames' | 'sampleRateHz'>[],
  context: TaskContext,
  action: (stem: number, block: readonly Float64Array[], stemFrame: number) => void,
): void => {
  const widest = Math.max(0, ...stems.map(({ channels }) => channels))
  const length = blockFrames(widest)
  const buffers = Array.from({ length: widest }, () => float64(length))
  const all = stems[0]?.frames ?? 0
  for (let frame = 0; frame < all; frame += length) {
    const frames = Math.min(length, all - frame)
    stems.forEach(({ channels, sampleRateHz }, stem) => {
      if (context.aborted) throw interrupted()
      const block = buffers.slice(0, channels)
      action(stem, frames === length ? block : block.map(samples => samples.subarray(0, frames)), frame)
      context.advance(frames / sampleRateHz)
    })
  }
}
