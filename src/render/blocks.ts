import type { PlannedStem } from '../decide/plan.js'
import { float64 } from '../signal/kernel/arena.js'
import { interrupted } from '../terms/interrupted.js'
import type { TaskContext } from '../terms/task.js'

/** Frames at a time, and fewer where there are many channels: what a stem takes in memory does not grow with its length. */
const BLOCK_FRAMES = 32768
const WIDE_BLOCK_FRAMES = 8192
const WIDE_CHANNELS = 8

export const blockFrames = (channels: number): number =>
  channels > WIDE_CHANNELS ? WIDE_BLOCK_FRAMES : BLOCK_FRAMES

/**
 * Walks through a stem block by block with one set of buffers, and stops where the run is interrupted.
 * @throws SumwellError INTERRUPTED
 */
export const forEachBlock = (
  stem: PlannedStem,
  context: TaskContext,
  action: (block: readonly Float64Array[], stemFrame: number) => void,
): void => {
  const length = blockFrames(stem.channels)
  const buffers = Array.from({ length: stem.channels }, () => float64(length))
  for (let frame = 0; frame < stem.frames; frame += length) {
    if (context.aborted) throw interrupted()
    const frames = Math.min(length, stem.frames - frame)
    action(frames === length ? buffers : buffers.map(samples => samples.subarray(0, frames)), frame)
    context.advance(frames / stem.sampleRateHz)
  }
}
