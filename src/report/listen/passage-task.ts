import type { StemPart } from '../../decide/plan.js'
import { motionOf } from '../../render/part-motion.js'
import { roundToGrid } from '../../signal/dither.js'
import { float64 } from '../../signal/kernel/arena.js'
import type { Task } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { type Coding, codingFor, losslessCoding, pack, packedBytes } from './packing.js'
import { asRecorded, type PassageRecording } from './recording.js'

/** One recording of a passage. */
export interface PassageInput {
  readonly sampleRateHz: number
  /** On the timeline of the stems. */
  readonly startFrame: number
  readonly frames: number
  readonly recording: PassageRecording
  /** Every way in which it comes into a blend of the group. */
  readonly uses: readonly StemPart[]
  /** How much further than any move of the plan it may be moved in the page, frames. */
  readonly marginFrames: number
}

export interface PassageSound {
  readonly source: string
  readonly channels: number
  readonly coding: Coding
  readonly startFrame: number
  readonly frames: number
  readonly bytes: Uint8Array
}

/** The frames of a recording that the passage can draw on, whichever way it is moved. */
const drawnOn = (
  reader: SourceReader,
  { sampleRateHz, startFrame, frames, uses, marginFrames }: PassageInput,
): { startFrame: number; frames: number } => {
  const total = reader.facts.frames
  const motions = uses.flatMap(part => [
    motionOf(part, sampleRateHz),
    motionOf(asRecorded(part), sampleRateHz),
  ])
  const first = Math.min(...motions.map(motion => motion.sourceFrameAt(startFrame)))
  const last = Math.max(...motions.map(motion => motion.sourceFrameAt(startFrame + frames)))
  const start = Math.min(total, Math.max(0, Math.floor(first) - marginFrames))
  const end = Math.min(total, Math.max(start, Math.ceil(last) + marginFrames))
  return { startFrame: start, frames: end - start }
}

/** Reads a recording of a passage, unmoved and without loss. Throws what reading a file throws. */
export const passage: Task<PassageInput, PassageSound> = input =>
  readPassage(input, (block, { coding, ...sound }) => ({
    ...sound,
    channels: block.length,
    coding,
    bytes: pack(block, coding),
  }))

/** How many bytes it takes; nothing is packed. Throws what reading a file throws. */
export const passageRoom: Task<PassageInput, number> = input =>
  readPassage(input, (block, { coding }) => packedBytes(block, coding))

const readPassage = <Result>(
  input: PassageInput,
  use: (
    block: readonly Float64Array[],
    read: Pick<PassageSound, 'source' | 'coding' | 'startFrame' | 'frames'>,
  ) => Result,
): Result => {
  const { key, file, selection } = input.recording
  const reader = openSource(file, selection)
  try {
    const { startFrame, frames } = drawnOn(reader, input)
    const block = Array.from({ length: reader.channels }, () => float64(frames))
    reader.read(startFrame, block)
    const { bitDepth, sampleFormat } = reader.facts
    // Only in the cross-fades of a recording in pieces are there values between the steps of its word.
    if (reader.fadedFrames.length > 0 && sampleFormat === 'int') {
      roundToGrid(block, selection.kind === 'mean' ? 32 : bitDepth)
    }
    const coding = losslessCoding(block, codingFor(bitDepth, sampleFormat))
    return use(block, { source: key, coding, startFrame, frames })
  } finally {
    reader.close()
  }
}
