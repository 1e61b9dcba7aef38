import { nearestOf } from '../../terms/nearest.js'
import { entriesOf, fieldOf, type Located, namesOf, textOf } from '../located.js'
import type { Deliver } from '../session.js'
import { oneOf } from '../words/lists.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft } from './draft.js'

/** A source that a recipe may deliver by itself. `lost`: something is wrong with it, which was reported. */
interface Candidate {
  readonly group: string
  readonly source: string
  readonly kind: 'file' | 'group' | 'lost'
}

/** The single sources to deliver. A name may stand alone where only one group has it, else as `group/source`. Reports the others. */
export const singleStemsOf = (
  node: Located | undefined,
  groups: ReadonlyMap<string, GroupDraft>,
  context: MeaningContext,
): Deliver['stems'] => {
  if (node?.kind !== 'list') return textOf(node) === 'none' ? 'none' : 'all'
  const candidates = [...groups.values()].flatMap(candidatesOf)
  const byName = new Map<string, Candidate[]>()
  for (const candidate of candidates) {
    for (const name of [candidate.source, fullName(candidate)]) {
      byName.set(name, [...(byName.get(name) ?? []), candidate])
    }
  }
  const allKnown = [...groups.values()].every(group => namesOf(fieldOf(group.node, 'sources')) !== null)
  const choices = candidates.filter(({ kind }) => kind === 'file')
  const chosen = new Map<string, { group: string; source: string }>()
  for (const item of node.items) {
    const typed = textOf(item)
    if (typed === undefined || context.faults.toldAt(item.at)) continue
    const found = byName.get(typed) ?? []
    const [first] = found
    if (first !== undefined && found.length === 1 && first.kind !== 'group') {
      chosen.set(fullName(first), { group: first.group, source: first.source })
    } else if (first !== undefined || allKnown) reportStem(item, typed, found, choices, context)
  }
  return [...chosen.values()]
}

const candidatesOf = (group: GroupDraft): readonly Candidate[] =>
  entriesOf(fieldOf(group.node, 'sources')).map(([source]) => ({
    group: group.name,
    source,
    kind: group.sources.get(source)?.kind ?? 'lost',
  }))

const fullName = ({ group, source }: Candidate): string => `${group}/${source}`

const reportStem = (
  item: Located,
  typed: string,
  found: readonly Candidate[],
  choices: readonly Candidate[],
  { faults }: MeaningContext,
): void => {
  if (found.length > 1) {
    faults.add('RECIPE_STEM_UNKNOWN', `several groups have a source ${typed}`, item.at, {
      expected: oneOf(found.map(fullName)),
      mend: 'put the group before it',
    })
    return
  }
  const expected = oneOf(choices.slice(0, 40).map(fullName))
  if (found.length === 1) {
    faults.add('RECIPE_STEM_UNKNOWN', `${typed} is a group, not a single source`, item.at, {
      expected,
      mend: 'name its sources; for their sum, make a blend',
    })
    return
  }
  const nameOf = typed.includes('/') ? fullName : ({ source }: Candidate): string => source
  const nearest = nearestOf(typed, choices.slice(0, 512).map(nameOf))
  faults.add('RECIPE_STEM_UNKNOWN', `there is no source ${typed}`, item.at, {
    expected,
    nearest,
    mend: nearest === null ? 'name a source; blends are always delivered' : `write ${nearest}`,
  })
}
