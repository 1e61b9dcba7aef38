import { nearestOf } from '../../terms/nearest.js'
import { entriesOf, fieldOf, type Located, type LocatedEntry, namesOf, textOf } from '../located.js'
import type { Blend, BlendPart } from '../session.js'
import { oneOf } from '../words/lists.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft } from './draft.js'
import { checkRange, quantityAt } from './quantities.js'

const GAIN_RANGE = { from: -120, to: 40, shown: 'from -120 dB to 40 dB' }

/** The blends of a group, shares scaled to sum to 1. Reports parts that are no sources, mixed weights and silent blends. */
export const blendsOf = (group: GroupDraft, context: MeaningContext): readonly Blend[] =>
  entriesOf(fieldOf(group.node, 'blends')).map(([name, { value: node }]) => {
    const match = textOf(fieldOf(node, 'match'))
    const aligned = fieldOf(node, 'aligned')
    return {
      name,
      parts: partsOf(fieldOf(node, 'parts'), group, context),
      match: match === 'rms' || match === 'none' ? match : 'loudness',
      aligned: !(aligned?.kind === 'scalar' && aligned.value === false),
    }
  })

const partsOf = (
  node: Located | undefined,
  group: GroupDraft,
  context: MeaningContext,
): readonly BlendPart[] => {
  const entries = entriesOf(node)
  for (const [name, entry] of entries) checkName(name, entry, group, context)
  const shares: [string, number][] = []
  const gains: [string, number][] = []
  for (const [name, { value }] of entries) {
    const gain = quantityAt(value, 'gain')
    if (gain !== null) {
      checkRange(value, gain.value, GAIN_RANGE, context.faults)
      gains.push([name, gain.value])
    } else if (value.kind === 'scalar' && typeof value.value === 'number' && value.value >= 0) {
      shares.push([name, value.value])
    }
  }
  if (shares.length > 0 && gains.length > 0) reportMixed(entries, context)
  const sum = shares.reduce((total, [, share]) => total + share, 0)
  if (node !== undefined && shares.length > 0 && shares.length === entries.length && sum === 0) {
    context.faults.add('RECIPE_BLEND_EMPTY', 'every share of this blend is 0', node.at, {
      expected: 'a share above 0',
      mend: 'give at least one source a share, or remove the blend',
    })
  }
  return [
    ...shares.map(([source, share]): BlendPart => ({ source, kind: 'share', share: share / sum })),
    ...gains.map(([source, gainDb]): BlendPart => ({ source, kind: 'gain', gainDb })),
  ]
}

const checkName = (
  name: string,
  entry: LocatedEntry,
  group: GroupDraft,
  { faults }: MeaningContext,
): void => {
  const names = namesOf(fieldOf(group.node, 'sources'))
  if (names === null || names.includes(name)) return
  const nearest = nearestOf(name, names)
  faults.add('RECIPE_PART', `${group.name} has no source ${name}`, entry.keyAt, {
    expected: oneOf(names),
    nearest,
    mend: nearest === null ? 'name a source of this group' : `write ${nearest}`,
  })
}

/** Points at the first weight that is of another kind than the first one. */
const reportMixed = (entries: readonly [string, LocatedEntry][], { faults }: MeaningContext): void => {
  const isShare = (located: Located): boolean =>
    located.kind === 'scalar' && typeof located.value === 'number'
  const first = entries[0]![1].value
  const odd = entries.find(([, { value }]) => isShare(value) !== isShare(first))
  if (odd === undefined || faults.toldAt(odd[1].value.at)) return
  faults.add('RECIPE_SHARES_AND_DB', 'shares and dB in one blend', odd[1].value.at, {
    expected: isShare(first)
      ? 'a share (a number), as the parts before'
      : 'a gain in dB, as the parts before',
    mend: 'use one of the two for all parts of the blend',
  })
}
