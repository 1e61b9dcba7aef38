import type { StemPart } from '../../decide/plan.js'
import { motionOf, type PartMotion } from '../../render/part-motion.js'
import { roundToGrid } from '../../signal/dither.js'
import { float64, inArena } from '../../signal/kernel/arena.js'
import type { Task } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { type Coding, codingFor, losslessCoding, pack } from './packing.js'
import { asRecorded, type PassageRecording } from './recording.js'

export interface PassageInput {
  readonly sampleRateHz: number
  /** On the timeline of the stems. */
  readonly startFrame: number
  readonly frames: number
  readonly recordings: readonly PassageRecording[]
  /** Every way in which a recording comes into a blend of the group. */
  readonly uses: readonly StemPart[]
  /** How much further than any move of the plan a recording may be moved in the page, frames. */
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

interface Used {
  readonly part: StemPart
  readonly reader: SourceReader
  readonly delivered: PartMotion
  readonly recorded: PartMotion
}

/** The frames of a recording that the passage can draw on, whichever way it is moved. */
const drawnOn = (
  uses: readonly Used[],
  { startFrame, frames, marginFrames }: { startFrame: number; frames: number; marginFrames: number },
): { startFrame: number; frames: number } => {
  const total = uses[0]!.reader.facts.frames
  const motions = uses.flatMap(({ delivered, recorded }) => [delivered, recorded])
  const first = Math.min(...motions.map(motion => motion.sourceFrameAt(startFrame)))
  const last = Math.max(...motions.map(motion => motion.sourceFrameAt(startFrame + frames)))
  const start = Math.min(total, Math.max(0, Math.floor(first) - marginFrames))
  const end = Math.min(total, Math.max(start, Math.ceil(last) + marginFrames))
  return { startFrame: start, frames: end - start }
}

/** Reads the recordings of a passage, unmoved and without loss. Throws what reading a file throws. */
export const passage: Task<PassageInput, readonly PassageSound[]> = input => {
  const readers = new Map<string, SourceReader>()
  const use = (part: StemPart): Used => ({
    part,
    reader: readers.get(part.key)!,
    delivered: motionOf(part, input.sampleRateHz),
    recorded: motionOf(asRecorded(part), input.sampleRateHz),
  })
  try {
    for (const { key, file, selection } of input.recordings) readers.set(key, openSource(file, selection))
    const uses = input.uses.map(use)
    return input.recordings.map(({ key, selection }) =>
      // Each in the same memory.
      inArena((): PassageSound => {
        const reader = readers.get(key)!
        const own = uses.filter(({ part }) => part.key === key)
        const { startFrame, frames } = drawnOn(own, input)
        const block = Array.from({ length: reader.channels }, () => float64(frames))
        reader.read(startFrame, block)
        const { bitDepth, sampleFormat } = reader.facts
        // Only in the cross-fades of a recording in pieces are there values between the steps of its word.
        if (reader.fadedFrames.length > 0 && sampleFormat === 'int') {
          roundToGrid(block, selection.kind === 'mean' ? 32 : bitDepth)
        }
        const coding = losslessCoding(block, codingFor(bitDepth, sampleFormat))
        const bytes = pack(block, coding)
        return { source: key, channels: reader.channels, coding, startFrame, frames, bytes }
      }),
    )
  } finally {
    for (const reader of readers.values()) reader.close()
  }
}
