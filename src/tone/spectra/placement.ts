import type { Move } from '../../decide/plan.js'
import { VariableDelay } from '../../signal/variable-delay.js'

/** Where a source lies on the timeline of the stems. */
export interface Placement {
  /** Where its first frame comes to lie, frames, fractional; without effect where `follow` says more. */
  readonly atSamples: number
  /** Where its first frame lies as recorded: what the shifts of `follow` count from. */
  readonly recordedAtSamples: number
  /** A shift that changes during the take; null = constant. Knots as in the plan: seconds of the source's own time. */
  readonly follow: Move['follow']
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
