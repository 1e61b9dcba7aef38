import type { MovingCase, MovingResult } from '../../test/corpus/moving-cases.js'

/** Time allowed between a step and where it is told. */
export const STEP_SECONDS = 1.5

/** A step of the right size at the right place; all others are false. */
export const countSteps = (c: MovingCase, told: MovingResult): { found: boolean; wrong: number } => {
  const { step } = c
  const steps = told.steps ?? []
  if (step === null) return { found: false, wrong: steps.length }
  const right = steps.filter(
    s =>
      Math.abs(s.atSeconds - step.atSeconds) <= STEP_SECONDS &&
      Math.abs(s.toLagSamples - s.fromLagSamples - step.bySamples) <
        Math.max(2, 0.1 * Math.abs(step.bySamples)),
  )
  return { found: right.length > 0, wrong: steps.length - right.length }
}

const LEAST_STEP_FRAMES = 3
const STEP_ERRORS = 6

/** A step as large as the measuring promises to find: 3 frames and six times what a block is really off by (robust). */
export const isPromised = (c: MovingCase, told: MovingResult): boolean => {
  if (c.step === null) return false
  const off = (told.lagOverTime ?? []).map(b => b.lagSamples - c.lagAt(b.atSeconds)).sort((a, b) => a - b)
  const middle = off[off.length >> 1] ?? 0
  const apart = off.map(o => Math.abs(o - middle)).sort((a, b) => a - b)
  const scatter = 1.4826 * (apart[apart.length >> 1] ?? 0)
  return Math.abs(c.step.bySamples) >= Math.max(LEAST_STEP_FRAMES, STEP_ERRORS * scatter)
}
