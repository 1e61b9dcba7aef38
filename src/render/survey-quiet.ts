import type { Stretch } from '../decide/survey.js'
import { interrupted } from '../terms/interrupted.js'
import type { TaskContext } from '../terms/task.js'
import { openSource } from '../wave/source-reader.js'

/** Places are compared every so often. */
const HOP_SECONDS = 0.005

/**
 * Middle of the place with the least energy in a stretch of a recording, seconds of its own time: the earliest where several are alike.
 * A stretch shorter than the place that is wanted gives its own middle.
 */
export const surveyQuiet = (stretch: Stretch, context: TaskContext): number => {
  const { startSeconds, endSeconds, lengthSeconds } = stretch
  const source = openSource(stretch.file, stretch.selection)
  try {
    const rate = source.facts.sampleRateHz
    const hop = Math.max(1, Math.round(HOP_SECONDS * rate))
    const hops = Math.floor(((endSeconds - startSeconds) * rate) / hop)
    const wanted = Math.max(1, Math.ceil((lengthSeconds * rate) / hop))
    if (hops <= wanted) return (startSeconds + endSeconds) / 2
    const first = Math.round(startSeconds * rate)
    const block = Array.from({ length: source.channels }, () => new Float64Array(hop))
    const energies = Array.from({ length: hops }, (_, i) => {
      if (context.aborted) throw interrupted()
      source.read(first + i * hop, block)
      return energyOf(block)
    })
    let best = 0
    let least = Number.POSITIVE_INFINITY
    for (let start = 0; start + wanted <= hops; start++) {
      const energy = energies.slice(start, start + wanted).reduce((sum, e) => sum + e, 0)
      if (energy < least) [best, least] = [start, energy]
    }
    return (first + (best + wanted / 2) * hop) / rate
  } finally {
    source.close()
  }
}

const energyOf = (block: readonly Float64Array[]): number => {
  let energy = 0
  for (const samples of block) for (const sample of samples) energy += sample * sample
  return energy
}
