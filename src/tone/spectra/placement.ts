import type { Move } from '../../decide/plan.js'

/** Where a source lies on the timeline of the stems. */
export interface Placement {
  /** Where its first frame comes to lie, frames, fractional; without effect where `follow` says more. */
  readonly atSamples: number
  /** Where its first frame lies as recorded: what the shifts of `follow` count from. */
  readonly recordedAtSamples: number
  /** A shift that changes during the take; null = constant. Knots as in the plan: seconds of the source's own time. */
  readonly follow: Move['follow']
}

/** The shift at a time of the source by straight lines between the knots, constant outside them. */
const shiftAt = (follow: NonNullable<Move['follow']>, seconds: number): number => {
  const after = follow.findIndex(knot => knot.atSeconds > seconds)
  if (after < 0) return follow.at(-1)?.shiftSamples ?? 0
  const right = follow[after]!
  const left = follow[after - 1] ?? right
  const span = right.atSeconds - left.atSeconds
  const share = span > 0 ? (seconds - left.atSeconds) / span : 0
  return left.shiftSamples + share * (right.shiftSamples - left.shiftSamples)
}

/**
 * Where the source's own frame 0 would lie if its whole lay as it does around `timelineFrame`: frames on the timeline. A source
 * frame m is heard at `offsetAt + m`. Constant without `follow`.
 */
export const offsetAt = (placement: Placement, timelineFrame: number, sampleRateHz: number): number => {
  const { atSamples, recordedAtSamples, follow } = placement
  if (follow === null) return atSamples
  let offset = recordedAtSamples
  // The shift is told in the source's own time; it changes slowly, so a few rounds settle which time that is.
  for (let round = 0; round < 3; round++) {
    offset = recordedAtSamples + shiftAt(follow, (timelineFrame - offset) / sampleRateHz)
  }
  return offset
}
