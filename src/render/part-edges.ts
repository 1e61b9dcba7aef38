import type { PlannedStem } from '../decide/plan.js'
import type { SourceReader } from '../wave/source-reader.js'
import type { EdgeFades } from './edge-fades.js'
import type { PartMotion } from './part-motion.js'

/** Frames from start to the one after the last. */
interface Stretch {
  readonly start: number
  readonly end: number
}

/** Stretches of a source at the frames of the stem. None where it is filtered: a stem with such a part is dithered from end to end. */
export const withoutFilter = (motion: PartMotion, stretches: readonly Stretch[]): readonly Stretch[] => {
  const offset = -motion.sourceFrameAt(0)
  return motion.reachFrames > 0
    ? []
    : stretches.map(({ start, end }) => ({ start: start + offset, end: end + offset }))
}

/** From the first whole frame of the source at or after the start of the stem to the last one before its end; the end excluded. */
export const heardFrames = (
  motion: PartMotion,
  { facts }: SourceReader,
  stem: PlannedStem,
): [number, number] => {
  const start = Math.min(facts.frames, Math.max(0, Math.ceil(motion.sourceFrameAt(0))))
  const end = Math.min(facts.frames, Math.floor(motion.sourceFrameAt(stem.frames - 1)) + 1)
  return [start, Math.max(start, end)]
}

/** Where fades reach, in frames of the stem. Only for whole moves: a stem with any other part is dithered from end to end. */
export const fadedStretches = (
  fades: EdgeFades,
  motion: PartMotion,
  stemFrames: number,
): readonly Stretch[] => {
  if (motion.reachFrames > 0) return []
  const offset = -motion.sourceFrameAt(0)
  const stretch = (start: number, end: number) => ({
    start: Math.max(0, start + offset),
    end: Math.min(stemFrames, end + offset),
  })
  return [
    ...(fades.fadesIn ? [stretch(fades.startFrame, fades.startFrame + fades.fadeFrames)] : []),
    ...(fades.fadesOut ? [stretch(fades.endFrame - fades.fadeFrames, fades.endFrame)] : []),
  ]
}
