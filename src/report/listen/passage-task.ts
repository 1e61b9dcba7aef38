import type { StemPart } from '../../decide/plan.js'
import type { ChannelSelection } from '../../recipe/session.js'
import { motionOf, type PartMotion } from '../../render/part-motion.js'
import { interrupted } from '../../terms/interrupted.js'
import * as portable from '../../terms/portable.js'
import type { Task, TaskContext } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { choosePassage, type Look, loudestDifference } from './choose-passage.js'
import { type Coding, codingFor, losslessCoding, pack } from './packing.js'

export interface PassageInput {
  readonly group: string
  readonly sampleRateHz: number
  /** Length of the timeline of the stems. */
  readonly timelineFrames: number
  readonly recordings: readonly {
    readonly key: string
    readonly file: string
    readonly selection: ChannelSelection
  }[]
  /** The blend by which the passage is chosen. */
  readonly blend: readonly StemPart[]
  /** Every way in which a recording comes into a blend of the group. */
  readonly uses: readonly StemPart[]
  /** By the recipe, frames of the timeline; null = wherever lining up changes most. */
  readonly given: { readonly startFrame: number } | null
  readonly frames: number
  /** How much further than any move of the plan a recording may be moved in the page, frames. */
  readonly marginFrames: number
}

export interface Passage {
  readonly startFrame: number
  readonly frames: number
  readonly loudestDifferenceFrame: number
  readonly sounds: readonly {
    readonly source: string
    readonly channels: number
    readonly coding: Coding
    readonly startFrame: number
    readonly frames: number
    readonly bytes: Uint8Array
  }[]
}

/** Every so often one looks at so much, seconds. */
const LOOK_EVERY = 0.25
const LOOK_SECONDS = 0.1

interface Used {
  readonly part: StemPart
  readonly reader: SourceReader
  readonly delivered: PartMotion
  readonly recorded: PartMotion
}

/** A part as recorded: nothing is followed. */
const asRecorded = (part: StemPart): StemPart => ({
  ...part,
  atSamples: part.recordedAtSamples,
  follow: null,
})

const SILENCE_DB = -120
const levelOf = (samples: Float64Array): number => {
  let energy = 0
  for (let i = 0; i < samples.length; i++) energy += samples[i]! * samples[i]!
  return Math.max(SILENCE_DB, 10 * portable.log10(energy / samples.length))
}

/** The first channel around a frame of the timeline, to the nearest frame: near enough to see levels. */
const heard = ({ reader }: Used, motion: PartMotion, timelineFrame: number, frames: number): Float64Array => {
  const block = Array.from({ length: reader.channels }, () => new Float64Array(frames))
  reader.read(Math.round(motion.sourceFrameAt(timelineFrame)), block)
  return block[0]!
}

const sumOf = (sounds: readonly Float64Array[], gains: readonly number[]): Float64Array => {
  const sum = new Float64Array(sounds[0]?.length ?? 1)
  sounds.forEach((sound, s) => {
    const gain = gains[s]!
    for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + gain * sound[i]!
  })
  return sum
}

const lookAt = (used: readonly Used[], timelineFrame: number, frames: number): Look => {
  const delivered = used.map(one => heard(one, one.delivered, timelineFrame, frames))
  const recorded = used.map(one => heard(one, one.recorded, timelineFrame, frames))
  return {
    sourceDb: delivered.map(levelOf),
    recordedDb: levelOf(
      sumOf(
        recorded,
        used.map(({ part }) => part.recordedGain),
      ),
    ),
    deliveredDb: levelOf(
      sumOf(
        delivered,
        used.map(({ part }) => part.gain),
      ),
    ),
  }
}

const chosen = (input: PassageInput, used: readonly Used[], context: TaskContext) => {
  const { sampleRateHz, timelineFrames, given } = input
  const hop = Math.round(LOOK_EVERY * sampleRateHz)
  const frames = Math.min(input.frames, timelineFrames)
  const latest = timelineFrames - frames
  const from = given === null ? 0 : Math.min(latest, Math.max(0, given.startFrame))
  const end = given === null ? timelineFrames : from + frames
  const looks: Look[] = []
  for (let at = from; at < end; at += hop) {
    if (context.aborted) throw interrupted()
    looks.push(lookAt(used, at, Math.round(LOOK_SECONDS * sampleRateHz)))
  }
  if (given !== null) {
    return {
      startFrame: from,
      frames,
      loudestDifferenceFrame: Math.min(frames - 1, hop * loudestDifference(looks)),
    }
  }
  const choice = choosePassage(looks, Math.max(1, Math.floor(frames / hop)))
  const startFrame = Math.min(latest, choice.first * hop)
  return {
    startFrame,
    frames,
    loudestDifferenceFrame: Math.max(0, Math.min(frames - 1, choice.loudestDifference * hop - startFrame)),
  }
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

/**
 * Chooses the passage of a group that the page will play and reads its recordings, unmoved and without loss. Throws what reading a file
 * throws, and INTERRUPTED.
 */
export const passage: Task<PassageInput, Passage> = (input, context) => {
  const readers = new Map<string, SourceReader>()
  const use = (part: StemPart): Used => ({
    part,
    reader: readers.get(part.key)!,
    delivered: motionOf(part, input.sampleRateHz),
    recorded: motionOf(asRecorded(part), input.sampleRateHz),
  })
  try {
    for (const { key, file, selection } of input.recordings) readers.set(key, openSource(file, selection))
    const found = chosen(input, input.blend.map(use), context)
    const uses = input.uses.map(use)
    const sounds = input.recordings.map(({ key }) => {
      const reader = readers.get(key)!
      const own = uses.filter(({ part }) => part.key === key)
      const { startFrame, frames } = drawnOn(own, { ...found, marginFrames: input.marginFrames })
      const block = Array.from({ length: reader.channels }, () => new Float64Array(frames))
      reader.read(startFrame, block)
      const coding = losslessCoding(block, codingFor(reader.facts.bitDepth, reader.facts.sampleFormat))
      const bytes = pack(block, coding)
      return { source: key, channels: reader.channels, coding, startFrame, frames, bytes }
    })
    return { ...found, sounds }
  } finally {
    for (const reader of readers.values()) reader.close()
  }
}
