import type { PlannedSource, PlannedStem, StemPart } from '../decide/plan.js'
import { float64 } from '../signal/kernel/arena.js'
import { type OpenPart, openPart } from './open-part.js'

/** Opens a part for a stem; `openPart` itself, or one that knows of parts which lie alike in other stems. */
export type OpensPart = typeof openPart

/**
 * For stems that are made side by side, block by block over the same frames: a source that comes into several of them in the same way is
 * read and moved once. The bits are those of parts that are opened one by one.
 */
export const sharedParts = (stems: readonly PlannedStem[]): OpensPart => {
  const uses = new Map<string, number>()
  for (const stem of stems) {
    for (const part of stem.parts) {
      const name = wayOf(part, stem)
      uses.set(name, (uses.get(name) ?? 0) + 1)
    }
  }
  const open = new Map<string, OpenPart>()
  return (part: StemPart, planned: PlannedSource, stem: PlannedStem): OpenPart => {
    const name = wayOf(part, stem)
    const users = uses.get(name) ?? 1
    if (users === 1) return openPart(part, planned, stem)
    let shared = open.get(name)
    if (shared === undefined) {
      shared = readOnce(openPart(part, planned, stem))
      open.set(name, shared)
    }
    return { ...shared, part }
  }
}

/** All that the sound of a part depends on: everything but its gains. */
export const wayOf = (part: StemPart, stem: PlannedStem): string =>
  JSON.stringify([
    { ...part, gain: 0, recordedGain: 0, weightShown: '', matchGainDb: 0 },
    stem.frames,
    stem.sampleRateHz,
  ])

/** Keeps the stretch that was read last for whoever asks for the same. */
const readOnce = (part: OpenPart): OpenPart => {
  let kept: Float64Array[] = []
  let keptFrame = -1
  let keptFrames = 0
  let sounds = false
  return {
    ...part,
    read: (stemFrame, into) => {
      const frames = into[0]?.length ?? 0
      if (stemFrame !== keptFrame || frames !== keptFrames) {
        if ((kept[0]?.length ?? 0) < frames) {
          kept = Array.from({ length: part.channels }, () => float64(frames))
        }
        sounds = part.read(
          stemFrame,
          kept.map(samples => samples.subarray(0, frames)),
        )
        keptFrame = stemFrame
        keptFrames = frames
      }
      if (sounds) {
        into.forEach((samples, channel) => {
          samples.set(kept[channel]!.subarray(0, frames))
        })
      }
      return sounds
    },
  }
}
