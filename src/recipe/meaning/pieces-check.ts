import { fieldOf } from '../located.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft, SourceDraft } from './draft.js'
import { referenceFile } from './rates.js'

/** Reports what a group with sources in pieces cannot have: each piece is measured as standing still, by what is played. */
export const checkPiecesFit = (
  group: GroupDraft,
  groups: ReadonlyMap<string, GroupDraft>,
  { faults }: MeaningContext,
): void => {
  const pieced = inPieces(group, groups)
  if (pieced === undefined) return
  const reference = group.sources.get(group.reference ?? '')
  for (const { node } of (reference?.kind === 'file' && reference.pieces?.nodes) || [])
    for (const key of ['lag', 'polarity']) {
      const entry = node.kind === 'map' ? node.entries.get(key) : undefined
      if (entry === undefined) continue
      faults.add('RECIPE_PIECES', `a piece of the reference has no ${key} of its own`, entry.keyAt, {
        expected: `${key} for pieces of the sources that are measured against ${reference!.name}`,
        mend: 'remove it, and state it for the pieces of the others that are heard with this one',
      })
    }
  const align = fieldOf(group.node, 'align')
  const follow = fieldOf(align, 'follow')
  if (follow?.kind === 'scalar' && (follow.value === 'drift' || follow.value === 'steps')) {
    faults.add(
      'RECIPE_PIECES',
      `${pieced.name} is in pieces: each is lined up by a lag of its own`,
      follow.at,
      {
        expected: 'no follow in a group with pieces',
        mend: 'remove it; where a stand was moved within a piece, make two pieces of that file with from and to',
      },
    )
  }
  for (const key of ['setup', 'takes']) {
    const entry = group.node.kind === 'map' ? group.node.entries.get(key) : undefined
    if (entry === undefined || (entry.value.kind === 'scalar' && entry.value.value === 'none')) continue
    faults.add('RECIPE_PIECES', `${pieced.name} is in pieces, and was moved between them`, entry.keyAt, {
      expected: 'no setup and no takes in a group with pieces',
      mend: 'remove it: what is pooled stood still from the first to the last take',
    })
  }
  const slate = fieldOf(align, 'slate')
  if (slate?.kind === 'scalar' && slate.value === true) {
    faults.add(
      'RECIPE_PIECES',
      `${pieced.name} is in pieces: a slate in one of them says nothing of the others`,
      slate.at,
      {
        expected: 'no slate in a group with pieces',
        mend: 'remove it; the pieces are measured by what is played',
      },
    )
  }
}

/** Whether any source of a group is in pieces: such a group is not pooled with other takes. */
export const holdsPieces = (group: GroupDraft, groups: ReadonlyMap<string, GroupDraft>): boolean =>
  inPieces(group, groups) !== undefined

const inPieces = (group: GroupDraft, groups: ReadonlyMap<string, GroupDraft>): SourceDraft | undefined =>
  [...group.sources.values()].find(source => isInPieces(source, groups))

const isInPieces = (source: SourceDraft, groups: ReadonlyMap<string, GroupDraft>): boolean => {
  if (source.kind === 'file') return source.pieces !== null
  const inner = groups.get(source.group)
  return inner !== undefined && (referenceFile(inner, groups)?.pieces ?? null) !== null
}
