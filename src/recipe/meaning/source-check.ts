import { nearestOf } from '../../terms/nearest.js'
import { fieldOf, namesOf, type Span, textOf } from '../located.js'
import { oneOf } from '../words/lists.js'
import type { MeaningContext } from './context.js'
import { type FileDraft, type GroupDraft, selectionOf } from './draft.js'
import { innerGroups } from './group-order.js'

type Groups = ReadonlyMap<string, GroupDraft>

/** Reports a reference that is no source of its group. */
export const checkReference = (group: GroupDraft, { faults }: MeaningContext): void => {
  const node = fieldOf(group.node, 'reference')
  const names = namesOf(fieldOf(group.node, 'sources'))
  if (node === undefined || group.reference === undefined || names === null) return
  if (names.includes(group.reference) || faults.toldAt(node.at)) return
  const nearest = nearestOf(group.reference, names)
  faults.add('RECIPE_REFERENCE', `${group.name} has no source ${group.reference}`, node.at, {
    expected: oneOf(names),
    nearest,
    mend: nearest === null ? 'name one of the sources' : `write ${nearest}`,
  })
}

/** Reports a channel that the file does not have. */
export const checkChannel = (source: FileDraft, { faults }: MeaningContext): void => {
  const node = fieldOf(source.node, 'channel')
  const channels = source.file.facts?.channels
  if (node === undefined || channels === undefined || faults.toldAt(node.at)) return
  if (selectionOf(source, channels) !== null) return
  faults.add(
    'RECIPE_CHANNEL',
    `${source.file.shown} has no channel ${node.kind === 'scalar' ? node.typed : ''}`.trimEnd(),
    node.at,
    {
      expected:
        channels === 1
          ? 'no channel: the file is mono'
          : `left, right, sum, or a number from 1 to ${channels}`,
      mend: channels === 1 ? 'remove channel:' : 'choose one of these',
    },
  )
}

/**
 * Reports one file twice in a group, the groups in it included, unless different channels are chosen. Two copies of one signal
 * would be measured as two paths and always agree.
 */
export const checkFileTwice = (group: GroupDraft, groups: Groups, { faults }: MeaningContext): void => {
  const seen = new Map<string, { readonly name: string; readonly within: string }>()
  const visited = new Set<string>()
  const waiting: { group: GroupDraft; prefix: string; at: GroupDraft['keyAt'] | null }[] = [
    { group, prefix: '', at: null },
  ]
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
    if (visited.has(next.group.name)) continue
    visited.add(next.group.name)
    for (const source of next.group.sources.values()) {
      if (source.kind !== 'file') continue
      const name = `${next.prefix}${source.name}`
      const channels = source.file.facts?.channels
      const selection = channels === undefined ? { kind: 'all' } : selectionOf(source, channels)
      if (selection === null) continue // a channel that the file lacks was reported
      const own: string[] = []
      for (const { identity, at: fileAt } of namedFiles(source)) {
        if (identity === null) continue
        const signal = `${identity} ${JSON.stringify(selection)}`
        const whole = `${identity} ${JSON.stringify({ kind: 'all' })}`
        const earlier = seen.get(signal) ?? seen.get(whole)
        if (earlier === undefined || own.includes(signal)) {
          if (earlier === undefined) seen.set(signal, { name, within: next.group.name })
          own.push(signal)
        } else {
          // Two of one inner group are told there.
          const at = next.at ?? fileAt
          if (faults.toldAt(at) || (next.at !== null && earlier.within === next.group.name)) continue
          faults.add('RECIPE_FILE_TWICE', `${name} is the same recording as ${earlier.name}`, at, {
            expected: 'a file of its own for each source, or different channels of one file',
            mend: 'check the path; is it a copy of the line above?',
          })
        }
      }
    }
    for (const inner of innerGroups(next.group, groups)) {
      const found = groups.get(inner.group)!
      waiting.push({ group: found, prefix: `${next.prefix}${inner.group}/`, at: next.at ?? inner.at })
    }
  }
}

/** The files that a source names: one, or those of its pieces. A file may give several pieces of one source. */
const namedFiles = (source: FileDraft): readonly { readonly identity: string | null; readonly at: Span }[] =>
  source.pieces === null
    ? [{ identity: source.file.identity, at: source.at }]
    : source.pieces.nodes.map(({ file, at }) => ({ identity: file.identity, at }))

/** Reports a stated lag of the reference: it is what the others are late against. */
export const checkReferenceLag = (group: GroupDraft, { faults }: MeaningContext): void => {
  const source = group.sources.get(group.reference ?? '')
  const node = fieldOf(source?.node, 'lag')
  const text = textOf(node)
  if (node === undefined || text === undefined || faults.toldAt(node.at)) return
  if (/^(measured|as-recorded|[+-]?0+(\.0+)? ?\w+)$/.test(text)) return
  faults.add('RECIPE_VALUE', 'the reference is late against nothing', node.at, {
    expected: 'no lag for the reference',
    mend: 'remove it, or choose another reference; to leave it late on purpose, use nudge:',
  })
}
