import type { Trace } from '../spectra/segment-spectra.js'
import type { GroupTask } from './group-input.js'

/** Above so many sources, each is tied to the reference and its most coherent neighbours only. */
const ALL_PAIRS_UP_TO = 16
export const NEIGHBOURS = 5

/** Every channel of every source, in order. */
export const tracesOf = (task: GroupTask): Trace[] =>
  task.members.flatMap((member, source) =>
    Array.from({ length: member.channels }, (_, channel) => ({ source, channel })),
  )

/** Pairs of a trace of the reference (first) with a trace of another source. */
export const referencePairs = (traces: readonly Trace[], reference: number): [number, number][] =>
  traces.flatMap((first, i) =>
    first.source === reference
      ? traces.flatMap((second, j): [number, number][] => (second.source === reference ? [] : [[i, j]]))
      : [],
  )

/**
 * Pairs of traces of two different sources, none of them the reference: all up to 16 sources, above that each source with its
 * five most coherent neighbours, `likeness[i][j]` telling how much two sources share.
 */
export const otherPairs = (
  traces: readonly Trace[],
  task: GroupTask,
  likeness: (first: number, second: number) => number,
): [number, number][] => {
  const others = task.members.map((_, i) => i).filter(i => i !== task.reference)
  const tied = new Set<string>()
  for (const i of others) {
    const rest = others.filter(j => j !== i)
    const near =
      task.members.length <= ALL_PAIRS_UP_TO
        ? rest
        : rest.sort((a, b) => likeness(i, b) - likeness(i, a) || a - b).slice(0, NEIGHBOURS)
    for (const j of near) tied.add(`${Math.min(i, j)} ${Math.max(i, j)}`)
  }
  return traces.flatMap((first, i) =>
    traces.flatMap((second, j): [number, number][] =>
      first.source < second.source && tied.has(`${first.source} ${second.source}`) ? [[i, j]] : [],
    ),
  )
}
