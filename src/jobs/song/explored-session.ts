import type { Session, SessionGroup } from '../../recipe/session.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { nearestOf } from '../../terms/nearest.js'

/** @throws SumwellError USAGE_ARGUMENTS where the recipe has no such group, or one of a single source */
export const groupToExplore = (session: Session, name: string): SessionGroup => {
  const names = session.groups.map(group => group.name)
  const group = session.groups.find(one => one.name === name)
  if (group === undefined) {
    throw new SumwellError(
      fault('USAGE_ARGUMENTS', `${session.recipeShown} has no group ${name}`, {
        expected: names.join(', '),
        nearest: nearestOf(name, names),
        mend: 'name a group of the recipe',
      }),
    )
  }
  if (group.sources.length < 2) {
    throw new SumwellError(
      fault('USAGE_ARGUMENTS', `the group ${name} has one source: there is nothing to blend`, {
        file: session.recipeShown,
        mend: 'name a group of two sources or more',
      }),
    )
  }
  return group
}

/** A name that no blend of the song has. */
export const freeName = ({ groups }: Session): string => {
  const taken = new Set(groups.flatMap(({ blends }) => blends.map(({ name }) => name)))
  let name = 'explored'
  for (let i = 2; taken.has(name); i++) name = `explored-${i}`
  return name
}

/** The song with nothing but the group, those that are sources of it, and one blend of all its sources at equal shares. */
export const onlyWith = (session: Session, group: SessionGroup, blendName: string): Session => {
  const inside = (one: SessionGroup): readonly string[] => [
    one.name,
    ...one.sources.flatMap(source =>
      source.kind === 'group' ? inside(session.groups.find(({ name }) => name === source.group)!) : [],
    ),
  ]
  const needed = new Set(inside(group))
  const share = 1 / group.sources.length
  const equal = {
    name: blendName,
    parts: group.sources.map(({ name }) => ({ source: name, kind: 'share' as const, share })),
    match: 'loudness' as const,
    aligned: true,
  }
  return {
    ...session,
    groups: session.groups
      .filter(({ name }) => needed.has(name))
      .map(one => (one.name === group.name ? { ...one, blends: [equal] } : one)),
    deliver: { ...session.deliver, stems: 'none' },
  }
}
