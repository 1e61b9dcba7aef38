import type { Task } from '../../terms/task.js'
import type { CloseUp, CloseUpTrace, CloseUpView } from './close-up.js'
import { type CloseUpInput, closeUp } from './close-up-task.js'

/**
 * A close-up on its way between threads: all values of all its views in one array, in the order in which they stand there. As lists each number would
 * arrive as an object of its own, three times as large.
 */
export interface PackedCloseUp {
  /** The close-up with empty lists. */
  readonly frame: CloseUp
  /** Points of each list, view by view. */
  readonly points: readonly number[]
  readonly values: Float64Array
}

const viewsOf = (found: CloseUp): readonly CloseUpView[] => [found, ...found.elsewhere]

const listsOf = (found: CloseUp): readonly (readonly number[])[] =>
  viewsOf(found).flatMap(({ traces }) => traces.flatMap(({ before, after }) => [before, after]))

/** The same close-up with other lists, asked for in the order of `listsOf`. */
const withLists = (found: CloseUp, next: () => readonly number[]): CloseUp => {
  const traced = ({ traces }: CloseUpView): readonly CloseUpTrace[] =>
    traces.map(trace => ({ ...trace, before: next(), after: next() }))
  const traces = traced(found)
  return { ...found, traces, elsewhere: found.elsewhere.map(view => ({ ...view, traces: traced(view) })) }
}

/** `unpackCloseUp` makes the same of it again. */
export const packCloseUp = (found: CloseUp): PackedCloseUp => {
  const lists = listsOf(found)
  const points = lists.map(list => list.length)
  const values = new Float64Array(points.reduce((sum, count) => sum + count, 0))
  let at = 0
  for (const list of lists) {
    values.set(list, at)
    at += list.length
  }
  return { frame: withLists(found, () => []), points, values }
}

/** The same to the last bit and in the same order of keys. */
export const unpackCloseUp = ({ frame, points, values }: PackedCloseUp): CloseUp => {
  let list = 0
  let at = 0
  return withLists(frame, () => {
    const from = at
    at += points[list++]!
    return Array.from(values.subarray(from, at))
  })
}

/** Task: as `closeUp`. */
export const packedCloseUp: Task<CloseUpInput, PackedCloseUp | null> = async (input, context) => {
  const found = await closeUp(input, context)
  return found === null ? null : packCloseUp(found)
}
