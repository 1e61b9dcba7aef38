import type { StemPart } from '../../decide/plan.js'
import { motionOf, type PartMotion } from '../../render/part-motion.js'
import { float64 } from '../../signal/kernel/arena.js'
import { energyIn } from '../../signal/level.js'
import { addScaled } from '../../signal/mix.js'
import { interrupted } from '../../terms/interrupted.js'
import * as portable from '../../terms/portable.js'
import type { Task } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import type { Look } from './choose-passage.js'
import { asRecorded, type PassageRecording } from './recording.js'

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

const SILENCE_DB = -120
const levelOf = (energy: number, frames: number): number =>
  Math.max(SILENCE_DB, 10 * portable.log10(energy / frames))

/** Further apart than so many looks a source as recorded and as delivered are read one by one. */
const NEAR_LOOKS = 2

/** Reads what is looked at, with buffers of its own: one stretch for both places where they are near. */
class Looker {
  readonly #used: readonly Used[]
  readonly #frames: number
  readonly #buffers: readonly (readonly Float64Array[])[]
  readonly #recorded: Float64Array
  readonly #delivered: Float64Array

  constructor(used: readonly Used[], frames: number) {
    this.#used = used
    this.#frames = frames
    this.#buffers = used.map(({ reader }) =>
      Array.from({ length: reader.channels }, () => float64((NEAR_LOOKS + 1) * frames)),
    )
    this.#recorded = float64(frames)
    this.#delivered = float64(frames)
  }

  /** Around a frame of the timeline, to the nearest frame of each source: near enough to see levels. */
  look(timelineFrame: number): Look {
    const frames = this.#frames
    this.#recorded.fill(0)
    this.#delivered.fill(0)
    const sourceDb = this.#used.map(({ part, delivered, recorded }, u) => {
      const at = Math.round(delivered.sourceFrameAt(timelineFrame))
      const was = Math.round(recorded.sourceFrameAt(timelineFrame))
      const [now, then] = this.#soundsAt(u, at, was)
      addScaled(this.#delivered, now, part.gain)
      addScaled(this.#recorded, then, part.recordedGain)
      return levelOf(energyIn(now, 0, frames), frames)
    })
    return {
      sourceDb,
      recordedDb: levelOf(energyIn(this.#recorded, 0, frames), frames),
      deliveredDb: levelOf(energyIn(this.#delivered, 0, frames), frames),
    }
  }

  /** The first channel of a source at two places. */
  #soundsAt(used: number, at: number, was: number): readonly [Float64Array, Float64Array] {
    const frames = this.#frames
    const { reader } = this.#used[used]!
    const buffers = this.#buffers[used]!
    const read = (frame: number, start: number, length: number): void => {
      reader.read(
        frame,
        buffers.map(samples => samples.subarray(start, start + length)),
      )
    }
    const stretch = (start: number): Float64Array => buffers[0]!.subarray(start, start + frames)
    const first = Math.min(at, was)
    const apart = Math.abs(at - was)
    if (apart <= NEAR_LOOKS * frames) {
      read(first, 0, frames + apart)
      return [stretch(at - first), stretch(was - first)]
    }
    read(at, 0, frames)
    read(was, frames, frames)
    return [stretch(0), stretch(frames)]
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
    const looker = new Looker(used, Math.round(LOOK_SECONDS * sampleRateHz))
    for (let at = input.startFrame; at < input.endFrame; at += framesOfLook(sampleRateHz)) {
      if (context.aborted) throw interrupted()
      looks.push(looker.look(at))
    }
    return looks
  } finally {
    for (const reader of readers.values()) reader.close()
  }
}
