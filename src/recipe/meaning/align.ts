import { fieldOf, type Located, textOf } from '../located.js'
import type { Align } from '../session.js'
import { clockText, type Stretch, stretchOf } from '../words/passage.js'
import { secondsOf } from '../words/quantity.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft } from './draft.js'
import { checkRange, quantityAt } from './quantities.js'
import { referenceFile } from './rates.js'
import { slateOf } from './slate.js'

const SEARCH_SECONDS = 0.04
/** A re-amped pass goes through converters twice and may have been played back by hand. */
const SEARCH_SECONDS_REAMP = 0.5
const SEARCH_RANGE = { from: 1e-4, to: 10, shown: 'from 0.1 ms to 10 s' }

/** The alignment settings of a group with the defaults filled in. Reports a search out of range and passages beyond the end. */
export const alignOf = (
  group: GroupDraft,
  groups: ReadonlyMap<string, GroupDraft>,
  rate: number | null,
  context: MeaningContext,
): Align => {
  const node = fieldOf(group.node, 'align')
  const word = <Word extends string>(key: string, allowed: readonly [Word, ...Word[]]): Word => {
    const typed = textOf(fieldOf(node, key))
    return allowed.find(one => one === typed) ?? allowed[0]
  }
  return {
    aim: word('aim', ['arrival', 'fullness']),
    searchSeconds: searchOf(group, rate, context),
    passage: passagesOf(fieldOf(node, 'passage'), group, groups, context),
    hold: word('hold', ['reference', 'latest']),
    resolution: word('resolution', ['fraction', 'sample']),
    follow: word('follow', ['nothing', 'drift', 'steps']),
    slate: slateOf(group, rate, context),
  }
}

const searchOf = (group: GroupDraft, rate: number | null, context: MeaningContext): number => {
  const node = fieldOf(fieldOf(group.node, 'align'), 'search')
  const stated = quantityAt(node, 'time')
  const seconds = stated === null ? null : secondsOf(stated, rate)
  checkRange(node, seconds, SEARCH_RANGE, context.faults)
  if (seconds !== null) return seconds
  const reamped = [...group.sources.values()].some(source => source.kind === 'file' && source.via === 'reamp')
  return reamped ? SEARCH_SECONDS_REAMP : SEARCH_SECONDS
}

const passagesOf = (
  node: Located | undefined,
  group: GroupDraft,
  groups: ReadonlyMap<string, GroupDraft>,
  context: MeaningContext,
): readonly Stretch[] | null => {
  if (node === undefined) return null
  const facts = referenceFile(group, groups)?.file.facts ?? null
  const endSeconds = facts === null ? null : facts.frames / facts.sampleRateHz
  const nodes = node.kind === 'list' ? node.items : [node]
  const stretches = nodes.map(item => checkedStretch(item, endSeconds, 'the reference', context))
  return stretches.filter(stretch => stretch !== null)
}

/** The stretch of time at a place. Reports one that is empty, or that reaches beyond the end. */
export const checkedStretch = (
  node: Located,
  endSeconds: number | null,
  whose: string,
  { faults }: MeaningContext,
): Stretch | null => {
  const text = textOf(node)
  if (text === undefined || faults.toldAt(node.at)) return null
  const stretch = stretchOf(text)
  if (stretch === null) {
    faults.add('RECIPE_PASSAGE', 'this is no stretch of time', node.at, {
      expected: 'from-to with minutes below 60 after hours, such as "1:02:03.5-1:02:40"',
      mend: 'check the times',
    })
  } else if (stretch.endSeconds <= stretch.startSeconds) {
    faults.add('RECIPE_PASSAGE', 'this stretch ends before it starts', node.at, {
      expected: 'an end after the start',
      mend: 'check the times',
    })
  } else if (endSeconds !== null && stretch.endSeconds > endSeconds + 5e-4) {
    faults.add('RECIPE_PASSAGE', `this stretch reaches beyond the end of ${whose}`, node.at, {
      expected: `times up to ${clockText(endSeconds)}`,
      mend: 'times are counted from the start of the file, not of the session',
    })
  } else return stretch
  return null
}
