import { nearestOf } from '../../terms/nearest.js'
import { oneOf } from '../words/lists.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft, GroupSourceDraft } from './draft.js'

type Groups = ReadonlyMap<string, GroupDraft>

/** Sources of a group that are groups themselves and exist. */
export const innerGroups = (group: GroupDraft, groups: Groups): readonly GroupSourceDraft[] =>
  [...group.sources.values()].filter(
    source => source.kind === 'group' && groups.has(source.group),
  ) as GroupSourceDraft[]

/**
 * The groups in an order in which one that is a source of another comes before it, else as in the recipe. Reports groups that do
 * not exist, that contain each other, and that are a source twice: a group can move only one way. `names`: of all groups in the
 * recipe; null where one of them was lost to a fault.
 */
export const groupOrder = (
  groups: Groups,
  names: readonly string[] | null,
  context: MeaningContext,
): readonly GroupDraft[] => {
  if (names !== null) reportUnknown(groups, names, context)
  reportTwice(groups, context)
  const done = new Set<string>()
  const order: GroupDraft[] = []
  const reported = new Set<string>()
  for (const start of groups.values()) {
    // Depth first with an own stack; `open` are the groups on the way from `start` to here.
    const open: { group: GroupDraft; inner: readonly GroupSourceDraft[]; next: number }[] = []
    const enter = (group: GroupDraft): void => {
      open.push({ group, inner: innerGroups(group, groups), next: 0 })
    }
    if (!done.has(start.name)) enter(start)
    for (let top = open.at(-1); top !== undefined; top = open.at(-1)) {
      const source = top.inner[top.next++]
      if (source === undefined) {
        open.pop()
        done.add(top.group.name)
        order.push(top.group)
        continue
      }
      const loop = open.findIndex(step => step.group.name === source.group)
      if (loop >= 0) {
        const names = [...open.slice(loop).map(step => step.group.name), source.group]
        if (!reported.has(source.group)) reportCircle(names, source, context)
        reported.add(source.group)
      } else if (!done.has(source.group)) enter(groups.get(source.group)!)
    }
  }
  return order
}

const reportUnknown = (groups: Groups, names: readonly string[], { faults }: MeaningContext): void => {
  for (const group of groups.values()) {
    for (const source of group.sources.values()) {
      if (source.kind !== 'group' || names.includes(source.group) || faults.toldAt(source.at)) continue
      const others = names.filter(name => name !== group.name)
      const nearest = nearestOf(source.group, others)
      faults.add('RECIPE_GROUP_UNKNOWN', `there is no group ${source.group}`, source.at, {
        expected: others.length === 0 ? 'a file' : oneOf(others),
        nearest,
        mend: nearest === null ? 'name a group of this recipe, or give a file' : `write ${nearest}`,
      })
    }
  }
}

const reportTwice = (groups: Groups, { faults }: MeaningContext): void => {
  const holders = new Map<string, string>()
  for (const group of groups.values()) {
    for (const source of innerGroups(group, groups)) {
      const holder = holders.get(source.group)
      if (holder === undefined) holders.set(source.group, `${group.name}/${source.name}`)
      else {
        faults.add('RECIPE_GROUP_TWICE', `${source.group} is a source a second time`, source.at, {
          expected: `one place for it; the first is ${holder}`,
          mend: 'remove one: a group can move only one way',
        })
      }
    }
  }
}

const reportCircle = (
  names: readonly string[],
  source: GroupSourceDraft,
  { faults }: MeaningContext,
): void => {
  faults.add(
    'RECIPE_GROUP_CIRCLE',
    names.length === 2
      ? `${source.group} contains itself`
      : `groups contain each other: ${names.slice(0, 12).join(' > ')}`,
    source.at,
    {
      expected: 'inner groups that do not lead back to the outer one',
      mend: 'name a file here, or another group',
    },
  )
}
