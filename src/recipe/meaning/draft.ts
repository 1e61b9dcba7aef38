import type { SumwellError } from '../../terms/fault.js'
import { entriesOf, fieldOf, type Located, type LocatedScalar, type Span, textOf } from '../located.js'
import type { ChannelSelection, Via, WaveFacts } from '../session.js'
import type { MeaningContext } from './context.js'
import { draftPieces, type PiecesDraft } from './pieces.js'
import { type FoundFile, sourceFile } from './source-file.js'

/** A group as the recipe tells it: its sources found, nothing decided yet. Parts that are wrong are left out. */
export interface GroupDraft {
  readonly name: string
  readonly keyAt: Span
  readonly node: Located
  readonly reference: string | undefined
  readonly sources: ReadonlyMap<string, SourceDraft>
}

interface DraftCommon {
  readonly name: string
  readonly keyAt: Span
  /** The long form's block; for a short form the text itself. */
  readonly node: Located
  /** Where the file or the group is named. */
  readonly at: Span
}

export type SourceDraft = FileDraft | GroupSourceDraft

export interface FileDraft extends DraftCommon {
  readonly kind: 'file'
  /** With pieces: named as the first of them, with the facts of what is laid from all. */
  readonly file: FoundFile
  /** Null for a source that is one file. */
  readonly pieces: PiecesDraft | null
  readonly via: Via | null
}

export interface GroupSourceDraft extends DraftCommon {
  readonly kind: 'group'
  readonly group: string
}

/** All groups of a recipe, by name, in the recipe's order. */
export const draftGroups = (root: Located, context: MeaningContext): ReadonlyMap<string, GroupDraft> => {
  const probes = new Map<string, WaveFacts | SumwellError>()
  const groups = new Map<string, GroupDraft>()
  for (const [name, entry] of entriesOf(fieldOf(root, 'groups'))) {
    const node = entry.value
    const sources = new Map<string, SourceDraft>()
    for (const [sourceName, sourceEntry] of entriesOf(fieldOf(node, 'sources'))) {
      const draft = draftSource(sourceName, sourceEntry.keyAt, sourceEntry.value, context, probes)
      if (draft !== null) sources.set(sourceName, draft)
    }
    groups.set(name, {
      name,
      keyAt: entry.keyAt,
      node,
      reference: textOf(fieldOf(node, 'reference')),
      sources,
    })
  }
  return groups
}

const draftSource = (
  name: string,
  keyAt: Span,
  node: Located,
  context: MeaningContext,
  probes: Map<string, WaveFacts | SumwellError>,
): SourceDraft | null => {
  const fileNode = node.kind === 'map' ? fieldOf(node, 'file') : node
  const groupNode = fieldOf(node, 'group')
  const group = textOf(groupNode)
  if (groupNode !== undefined && group !== undefined) {
    return { kind: 'group', name, keyAt, node, at: groupNode.at, group }
  }
  const piecesNode = fieldOf(node, 'pieces')
  if (piecesNode !== undefined) {
    if (piecesNode.kind !== 'list' || piecesNode.items.length === 0) return null
    const pieces = draftPieces(piecesNode, fieldOf(node, 'fade'), context, probes)
    const file = wholeOf(pieces)
    if (file === null) return null
    return { kind: 'file', name, keyAt, node, at: pieces.nodes[0]!.at, file, pieces, via: viaOf(node) }
  }
  refuseFade(node, context)
  if (fileNode === undefined || !isText(fileNode) || context.faults.toldAt(fileNode.at)) return null
  const file = sourceFile(fileNode, context, probes)
  return { kind: 'file', name, keyAt, node, at: fileNode.at, file, pieces: null, via: viaOf(node) }
}

/** Names of at most so many files are shown for a source in pieces. */
const SHOWN_PIECES = 3

/** What stands for the whole of a source in pieces; null where no piece could be read as an entry. */
const wholeOf = ({ nodes, laid }: PiecesDraft): FoundFile | null => {
  const [first] = nodes
  if (first === undefined) return null
  const names = [...new Set(nodes.map(({ file }) => file.shown))]
  const shown =
    names.length <= SHOWN_PIECES ? names.join(' + ') : `${names[0]!} + ${names.length - 1} more files`
  return { absolute: first.file.absolute, shown, identity: null, facts: laid?.facts ?? null }
}

const refuseFade = (node: Located, { faults }: MeaningContext): void => {
  const fade = node.kind === 'map' ? node.entries.get('fade') : undefined
  if (fade === undefined) return
  faults.add('RECIPE_PIECES', 'fade joins pieces, and this source is one file', fade.keyAt, {
    expected: 'fade beside pieces',
    mend: 'remove it',
  })
}

const isText = (node: Located): node is LocatedScalar => textOf(node) !== undefined

const VIAS: readonly string[] = ['direct', 'pickup', 'mic', 'reamp'] satisfies Via[]

const viaOf = (node: Located): Via | null => {
  const via = textOf(fieldOf(node, 'via'))
  return via !== undefined && VIAS.includes(via) ? (via as Via) : null
}

/**
 * Channels of a file that a source uses. A file of one channel is always taken as it is, so that its bits can stay untouched.
 * Null where the recipe asks for one that the file lacks, or for something that is no channel.
 */
export const selectionOf = (draft: FileDraft, channels: number): ChannelSelection | null => {
  const node = fieldOf(draft.node, 'channel')
  if (node === undefined) return { kind: 'all' }
  if (node.kind !== 'scalar') return null
  const index = node.value === 'left' ? 0 : node.value === 'right' ? 1 : Number(node.value) - 1
  if (node.value === 'sum') return channels === 1 ? { kind: 'all' } : { kind: 'mean' }
  if (!Number.isInteger(index) || index < 0 || index >= channels) return null
  return channels === 1 ? { kind: 'all' } : { kind: 'pick', index }
}
