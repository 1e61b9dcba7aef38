import type { Verdict } from '../measurement.js'

/** The verdicts, the worst first. What is not `sure` stays as recorded, whichever it is. */
export const WORST_FIRST: readonly Verdict[] = ['unknown', 'unsure', 'sure']

/** The worst of several verdicts; `sure` for none. */
export const worstOf = (verdicts: readonly Verdict[]): Verdict =>
  WORST_FIRST.find(verdict => verdicts.includes(verdict)) ?? 'sure'
