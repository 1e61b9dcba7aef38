import type { Plan, PlannedStem } from '../../decide/plan.js'
import type { ChannelSelection } from '../../recipe/session.js'
import { log2 } from '../../terms/portable.js'
import type { Voice } from './voices.js'

/** A recording as it lay, with the gain that it has in a stem. */
export interface RecordedPart {
  readonly file: string
  readonly selection: ChannelSelection
  readonly channels: number
  /** Whole. */
  readonly atFrame: number
  readonly gain: number
}

/** One group: what was recorded, and the files that were delivered of it. */
export interface NeighbourVoice {
  readonly recorded: readonly RecordedPart[]
  readonly delivered: readonly { readonly file: string; readonly channels: number }[]
}

/** Some blocks of time of a song. */
export interface NeighbourInput {
  readonly sampleRateHz: number
  /** Length of the timeline, frames. */
  readonly frames: number
  readonly channels: number
  readonly voices: readonly NeighbourVoice[]
  readonly firstBlock: number
  readonly blocks: number
}

/** Window, frames: the power of two nearest to a third of a second. Two windows and a half make a block of time, about 0.85 s. */
export const windowFrames = (sampleRateHz: number): number => 2 ** Math.round(log2(0.34 * sampleRateHz))

/** Windows begin half a window apart; so many of them are one block. */
export const WINDOWS_IN_BLOCK = 5

/** Frames of a block of time in which groups are compared: two and a half windows. */
export const blockFrames = (sampleRateHz: number): number =>
  (WINDOWS_IN_BLOCK * windowFrames(sampleRateHz)) / 2

/** Blocks that one thread takes on at a time. */
const BLOCKS_A_TASK = 64

const recordedParts = (plan: Plan, stem: PlannedStem): readonly RecordedPart[] =>
  stem.parts.map(part => {
    const { file, selection, channels } = plan.sources.find(({ key }) => key === part.key)!
    const atFrame = Math.round(part.recordedAtSamples)
    return { file, selection, channels, atFrame, gain: part.recordedGain }
  })

/** The pieces of work for a song whose stems are written. `fileOf`: where each lies now. */
export const neighbourInputs = (
  plan: Plan,
  voices: readonly Voice[],
  fileOf: (stem: PlannedStem) => string,
): readonly NeighbourInput[] => {
  const stems = voices.flatMap(voice => voice.stems)
  const sampleRateHz = stems[0]!.sampleRateHz
  const frames = Math.max(...stems.map(stem => stem.frames))
  const blocks = Math.max(1, Math.ceil(frames / blockFrames(sampleRateHz)))
  const heard = voices.map(voice => ({
    recorded: voice.stems.flatMap(stem => recordedParts(plan, stem)),
    delivered: voice.stems.map(stem => ({ file: fileOf(stem), channels: stem.channels })),
  }))
  return Array.from({ length: Math.ceil(blocks / BLOCKS_A_TASK) }, (_, task) => ({
    sampleRateHz,
    frames,
    channels: Math.max(...stems.map(stem => stem.channels)),
    voices: heard,
    firstBlock: task * BLOCKS_A_TASK,
    blocks: Math.min(BLOCKS_A_TASK, blocks - task * BLOCKS_A_TASK),
  }))
}
