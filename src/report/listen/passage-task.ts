import type { StemPart } from '../../decide/plan.js'
import { motionOf, type PartMotion } from '../../render/part-motion.js'
import { roundToGrid } from '../../signal/dither.js'
import { float64, inArena } from '../../signal/kernel/arena.js'
import type { Task } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { type Coding, codingFor, losslessCoding, pack, packedBytes } from './packing.js'
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
export const passage: Task<PassageInput, readonly PassageSound[]> = input =>
  readPassage(input, (block, { coding, ...sound }) => ({
    ...sound,
    channels: block.length,
    coding,
    bytes: pack(block, coding),
  }))

/** How many bytes each recording of it takes, in their order; nothing is packed. Throws what reading a file throws. */
export const passageRoom: Task<PassageInput, readonly number[]> = input =>
  readPassage(input, (block, { coding }) => packedBytes(block, coding))

/** One recording of a passage as it was read. */
type Read = Pick<PassageSound, 'source' | 'coding' | 'startFrame' | 'frames'>

const readPassage = <Result>(
  input: PassageInput,
  use: (block: readonly Float64Array[], read: Read) => Result,
): readonly Result[] => {
  const readers = new Map<string, SourceReader>()
  const used = (part: StemPart): Used => ({
    part,
    reader: readers.get(part.key)!,
    delivered: motionOf(part, input.sampleRateHz),
    recorded: motionOf(asRecorded(part), input.sampleRateHz),
  })
  try {
    for (const { key, file, selection } of input.recordings) readers.set(key, openSource(file, selection))
    const uses = input.uses.map(used)
    return input.recordings.map(({ key, selection }) =>
      // Each in the same memory.
      inArena((): Result => {
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
        return use(block, { source: key, coding, startFrame, frames })
      }),
    )
  } finally {
    for (const reader of readers.values()) reader.close()
  }
}
