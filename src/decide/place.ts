import type { Polarity } from '../measure/measurement.js'
import type { StretchMove } from '../recipe/pieces/piece-windows.js'
import type { Session, SessionGroup, SessionSource } from '../recipe/session.js'
import { addedKnots, type Knot } from './follow.js'
import type { GroupDecision } from './group-decision.js'
import { sessionGroup, sourceMeasurement } from './lookup.js'
import { addedPieces } from './pieces.js'
import { multiplied } from './polarities.js'
import { snapped } from './snapped.js'

/** Where something stands as recorded, and what is done to it in all. */
export interface Place {
  /** True where a time stamp says when it was recorded; else it starts with the song. */
  readonly isStamped: boolean
  /** Its first frame as recorded: frames since midnight where stamped, frames since the start of the song where not. Whole. */
  readonly recordedAtSamples: number
  readonly shiftSamples: number
  readonly polarity: Polarity
  readonly follow: readonly Knot[] | null
  /** Moves that differ over its own time, frames from its first; null = the one of `shiftSamples` and `polarity`, or `follow`. */
  readonly pieces: readonly StretchMove[] | null
  /** One text per group, innermost first. */
  readonly because: readonly string[]
}

/** What a group does to a source of its own. */
export type MoveOf = (
  decision: GroupDecision,
  source: SessionSource,
) => Omit<Place, 'isStamped' | 'recordedAtSamples' | 'because'> & {
  readonly because: string
}

/** The group's own alignment. */
export const aligned: MoveOf = (decision, source) => decision.moves.get(source.name)!

/**
 * A source within the place of its group: start offsets and shifts add up, polarities multiply. The place of a group is that of its
 * reference as recorded, with what the groups that hold it do to it.
 */
export const placeWithin = (
  group: Place,
  decision: GroupDecision,
  source: SessionSource,
  moveOf: MoveOf,
): Place => {
  const offset = sourceMeasurement(decision.measured, source.name).startOffsetSamples
  const move = moveOf(decision, source)
  return {
    isStamped: group.isStamped,
    recordedAtSamples: group.recordedAtSamples + offset,
    shiftSamples: snapped(group.shiftSamples + move.shiftSamples),
    polarity: multiplied(group.polarity, move.polarity),
    follow: addedFollow(group, move, offset / decision.group.sampleRateHz),
    pieces: addedPieces(group, move, offset),
    because: [move.because, ...group.because],
  }
}

type Shift = Pick<Place, 'shiftSamples' | 'follow'>

// The knots of the group count in the time of its reference, which is `offsetSeconds` further on than that of the source.
const addedFollow = (group: Shift, move: Shift, offsetSeconds: number): readonly Knot[] | null => {
  const shifted = (knots: readonly Knot[], samples: number, earlierSeconds: number): readonly Knot[] =>
    knots.map(knot => ({ atSeconds: knot.atSeconds - earlierSeconds, samples: knot.samples + samples }))
  if (group.follow === null) return move.follow && shifted(move.follow, group.shiftSamples, 0)
  if (move.follow === null) return shifted(group.follow, move.shiftSamples, offsetSeconds)
  return addedKnots(move.follow, group.follow, offsetSeconds)
}

/**
 * The place of every group. A group that is a source of several stands where the first of them puts it; blends of the others still
 * take it as they themselves line it up.
 */
export const placeGroups = (
  session: Session,
  decisions: ReadonlyMap<string, GroupDecision>,
): ReadonlyMap<string, Place> => {
  const places = new Map<string, Place>()
  const placeInside = (group: SessionGroup, place: Place): void => {
    places.set(group.name, place)
    const decision = decisions.get(group.name)!
    for (const source of group.sources) {
      if (source.kind === 'file' || places.has(source.group)) continue
      const within = placeWithin(place, decision, source, aligned)
      const [own = '', ...outer] = within.because
      const because = [`with ${source.name} in ${group.name}: ${own}`, ...outer]
      placeInside(sessionGroup(session, source.group), { ...within, because })
    }
  }
  const held = new Set(
    session.groups.flatMap(group =>
      group.sources.map(source => (source.kind === 'group' ? source.group : null)),
    ),
  )
  for (const group of session.groups) if (!held.has(group.name)) placeInside(group, rootPlace(session, group))
  return places
}

const rootPlace = (session: Session, group: SessionGroup): Place => {
  const stamp = stampOf(session, group)
  return {
    isStamped: stamp !== null,
    recordedAtSamples: stamp ?? 0,
    shiftSamples: 0,
    polarity: 'normal',
    follow: null,
    pieces: null,
    because: [],
  }
}

// The reference's stamp; where it has none, all files of the group start together, at the first stamp there is.
const stampOf = (session: Session, group: SessionGroup): number | null => {
  const first = group.sources.filter(source => source.name === group.reference)
  for (const source of [...first, ...group.sources]) {
    const stamp =
      source.kind === 'file'
        ? source.facts.stampSamples
        : stampOf(session, sessionGroup(session, source.group))
    if (stamp !== null) return stamp
  }
  return null
}
