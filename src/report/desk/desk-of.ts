import type { Plan } from '../../decide/plan.js'
import type { Session } from '../../recipe/session.js'
import type { GroupLook } from '../../tone/tone-of-plan.js'
import type { Desk } from './desk.js'
import { deskSpectra } from './desk-spectra.js'
import { deskBlend } from './strips.js'

/**
 * The desk of one group, from what the tone of its blends was predicted from; null where none of its blends lines anything up. A blend that is
 * delivered as recorded has none: what it would show is the "as recorded" of the others.
 */
export const deskOf = (session: Session, plan: Plan, look: GroupLook): Desk | null => {
  const group = session.groups.find(({ name }) => name === look.group)
  const blends = look.blends.filter(
    ({ stem }) => stem.aligned && group?.blends.some(({ name }) => name === stem.name) === true,
  )
  if (blends.length === 0) return null
  return { blends: blends.map(blend => deskBlend(session, plan, blend)), spectra: deskSpectra(look) }
}
