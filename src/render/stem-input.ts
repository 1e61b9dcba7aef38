import type { Plan, PlannedStem } from '../decide/plan.js'
import type { StemInput } from './survey-stem.js'

/** A stem with the sources that its parts name. */
export const stemInput = (plan: Plan, stem: PlannedStem): StemInput => ({
  stem,
  sources: plan.sources.filter(source => stem.parts.some(part => part.key === source.key)),
})
