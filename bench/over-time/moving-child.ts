import { MOVING_RATE_HZ, type MovingKind, measureMoving, movingCase } from '../../test/corpus/moving-cases.js'
import { countSteps, isPromised } from './promised-steps.js'

export interface MovingQuestion {
  readonly kind: MovingKind
  readonly seconds: number
  readonly seed: string
}

/** What came of a moving take; null where it has no lag. */
export type MovingAnswer = {
  readonly sure: boolean
  /** Lag at the first sound against the truth, ms; null without blocks. */
  readonly lagOffMs: number | null
  readonly isDriftTold: boolean
  /** Told drift (none: 0) against the truth, ppm. */
  readonly driftOffPpm: number
  readonly isPromised: boolean
  readonly isFound: boolean
  readonly falseSteps: number
  readonly swaySamples: number
} | null

export const answer = async ({ kind, seconds, seed }: MovingQuestion): Promise<MovingAnswer> => {
  const made = movingCase(kind, seed, seconds)
  const told = await measureMoving(made)
  if (told === null) return null
  const first = told.lagOverTime?.[0]
  const steps = countSteps(made, told)
  return {
    sure: told.verdict === 'sure',
    lagOffMs:
      first === undefined
        ? null
        : (1000 * Math.abs(first.lagSamples - made.lagAt(first.atSeconds))) / MOVING_RATE_HZ,
    isDriftTold: told.drift !== null,
    driftOffPpm: Math.abs((told.drift?.ppm ?? 0) - made.ppm),
    isPromised: isPromised(made, told),
    isFound: steps.found,
    falseSteps: steps.wrong,
    swaySamples: told.swaySamples ?? 0,
  }
}
