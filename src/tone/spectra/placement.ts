import type { Move, PartRun } from '../../decide/plan.js'
import { VariableDelay } from '../../signal/variable-delay.js'

/** Where a source lies on the timeline of the stems. */
export interface Placement {
  /** Where its first frame comes to lie, frames, fractional; without effect where `follow` says more. */
  readonly atSamples: number
  /** Where its first frame lies as recorded: what the shifts of `follow` count from. */
  readonly recordedAtSamples: number
  /** A shift that changes during the take; null = constant. Knots as in the plan: seconds of the source's own time. */
  readonly follow: Move['follow']
  /** Stretches that are moved each for itself, as the renderer makes them; `follow` is not null then. Left out for all others. */
  readonly runs?: readonly PartRun[]
}

/**
 * Carries a source that follows a change to where it is delivered, exactly as the renderer does: knots stand in the source's own time,
 * the filter wants them at the frames of the timeline at which they come to lie.
 */
export const followingDelay = (
  { recordedAtSamples }: Placement,
  follow: NonNullable<Placement['follow']>,
  sampleRateHz: number,
): VariableDelay =>
  new VariableDelay(
    sampleRateHz,
    follow.map(({ atSeconds, shiftSamples }) => {
      const shift = recordedAtSamples + shiftSamples
      return { frame: atSeconds * sampleRateHz + shift, shift }
    }),
  )

/** The run that is the louder one at a frame of the timeline: the first, where the timeline is before all of them. */
export const runAt = (runs: readonly PartRun[], timelineFrame: number): PartRun | undefined =>
  runs.findLast(({ startFrame, fadeInFrames }) => startFrame + fadeInFrames / 2 <= timelineFrame) ?? runs[0]
