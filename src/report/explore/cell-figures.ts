import { blendTone, type SeenGroup } from '../../tone/blend-tone.js'
import type { BlendInView } from '../../tone/view-of-group.js'
import type { DeskBlend } from '../desk/desk.js'
import { blendOfCell } from './cell-blend.js'
import type { Cell } from './choices.js'

/** What is predicted of one cell over the whole take. */
export interface CellFigures {
  /** dB; null where nothing is pitched. */
  readonly evennessDb: number | null
  /** Where its parts lose most by not being in phase; null where nothing is lost, or one source is alone. */
  readonly worst: { readonly lossDb: number; readonly hz: number } | null
}

/**
 * Predicted from what was heard of the group, as the report does it. null where one phase cannot tell it: as recorded, of a source whose lag
 * changes and is followed.
 */
export const figuresOf = (
  seen: SeenGroup,
  inView: BlendInView,
  equal: DeskBlend,
  cell: Cell,
): CellFigures | null => {
  if (!cell.aligned && inView.stem.parts.some(({ follow }) => follow !== null)) return null
  const leaves = new Map(
    blendOfCell(equal, cell).strips.flatMap(strip => strip.leaves.map(leaf => [leaf.source, leaf] as const)),
  )
  const channels = inView.channels.map(parts =>
    parts.flatMap(placed => {
      const leaf = leaves.get(placed.part.key)
      if (leaf === undefined) return []
      const { gain, atSamples } = leaf
      return [{ ...placed, part: { ...placed.part, gain, atSamples } }]
    }),
  )
  const stem = { ...inView.stem, parts: channels[0]!.map(({ part }) => part) }
  const tone = blendTone(seen, { stem, channels, asRecorded: null })
  let worst: CellFigures['worst'] = null
  tone.after.lossDb.forEach((lossDb, i) => {
    if (lossDb !== null && lossDb > (worst?.lossDb ?? 0)) worst = { lossDb, hz: tone.frequenciesHz[i]! }
  })
  return { evennessDb: cell.parts.length > 1 ? tone.evennessAfterDb : null, worst }
}
