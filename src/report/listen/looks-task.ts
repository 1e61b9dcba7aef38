import type { StemPart } from '../../decide/plan.js'
import { motionOf, type PartMotion } from '../../render/part-motion.js'
import { interrupted } from '../../terms/interrupted.js'
import * as portable from '../../terms/portable.js'
import type { Task } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import type { Look } from './choose-passage.js'
import type { PassageRecording } from './passage-task.js'

export interface LooksInput {
  readonly sampleRateHz: number
  readonly recordings: readonly PassageRecording[]
  /** The blend by which the passage is chosen. */
  readonly blend: readonly StemPart[]
  /** Of the timeline of the stems: where to look. */
  readonly startFrame: number
  readonly endFrame: number
}

/** Every so often one looks at so much, seconds. */
const LOOK_EVERY = 0.25
const LOOK_SECONDS = 0.1

/** From one look to the next, frames. */
export const framesOfLook = (sampleRateHz: number): number => Math.round(LOOK_EVERY * sampleRateHz)

interface Used {
  readonly part: StemPart
  readonly reader: SourceReader
  readonly delivered: PartMotion
  readonly recorded: PartMotion
}

/** A part as recorded: nothing is followed. */
export const asRecorded = (part: StemPart): StemPart => ({
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

/** How loud a blend and its recordings are, look by look. Throws what reading a file throws, and INTERRUPTED. */
export const passageLooks: Task<LooksInput, readonly Look[]> = (input, context) => {
  const { sampleRateHz } = input
  const readers = new Map<string, SourceReader>()
  try {
    for (const { key, file, selection } of input.recordings) readers.set(key, openSource(file, selection))
    const used = input.blend.map(
      (part): Used => ({
        part,
        reader: readers.get(part.key)!,
        delivered: motionOf(part, sampleRateHz),
        recorded: motionOf(asRecorded(part), sampleRateHz),
      }),
    )
    const looks: Look[] = []
    for (let at = input.startFrame; at < input.endFrame; at += framesOfLook(sampleRateHz)) {
      if (context.aborted) throw interrupted()
      looks.push(lookAt(used, at, Math.round(LOOK_SECONDS * sampleRateHz)))
    }
    return looks
  } finally {
    for (const reader of readers.values()) reader.close()
  }
}
