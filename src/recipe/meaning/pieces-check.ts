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
  const pieced = [...group.sources.values()].find(source => isInPieces(source, groups))
  if (pieced === undefined) return
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

const isInPieces = (source: SourceDraft, groups: ReadonlyMap<string, GroupDraft>): boolean => {
  if (source.kind === 'file') return source.pieces !== null
  const inner = groups.get(source.group)
  return inner !== undefined && (referenceFile(inner, groups)?.pieces ?? null) !== null
}
