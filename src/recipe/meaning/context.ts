import type { FolderTree } from '../folder-tree.js'
import type { LocatedScalar, Span } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import type { WaveFacts } from '../session.js'

/** Looks at a recording and tells its facts; throws a `SumwellError` where it is no recording that can be used. */
export type Probe = (absolutePath: string) => { readonly facts: WaveFacts }

/** What every check of meaning needs. */
export interface MeaningContext {
  readonly faults: RecipeFaults
  readonly tree: FolderTree
  readonly probe: Probe
  readonly song: NamedWord
  /** Null where the recipe has no take and none was given. */
  readonly take: NamedWord | null
}

/** The song or the take: its text as typed, and where it stands (null: not in a recipe). */
export interface NamedWord {
  readonly text: string
  readonly at: Span | null
}

/** Place of a piece of a text, such as `{take}` in a path; the whole text where it cannot be told. */
export const spanOfPiece = (scalar: LocatedScalar, piece: string): Span => {
  const { source, start, end } = scalar.at
  const found = source.text.indexOf(piece, start)
  return found >= 0 && found + piece.length <= end
    ? { source, start: found, end: found + piece.length }
    : scalar.at
}
