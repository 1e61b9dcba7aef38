import { fieldOf, type Located, textOf } from '../located.js'
import type { PieceRecording, SessionSource } from '../session.js'
import { metresOf, samplesOf, secondsOf } from '../words/quantity.js'
import type { MeaningContext } from './context.js'
import { type SourceDraft, selectionOf } from './draft.js'
import { checkRange, quantityAt } from './quantities.js'
import { slateFileOf } from './slate.js'

const NUDGE_RANGE = { from: -10, to: 10, shown: 'at most 10 s to either side' }
const DISTANCE_RANGE = { from: 0, to: 1000, shown: 'up to 1000 m' }

/** A source with its quantities as numbers. Reports numbers out of range. Null where its recording could not be used. */
export const sessionSource = (
  draft: SourceDraft,
  searchSeconds: number,
  rate: number | null,
  context: MeaningContext,
): SessionSource | null => {
  const lag = lagOf(draft.node, searchSeconds, rate, context)
  const nudgeNode = fieldOf(draft.node, 'nudge')
  const nudge = quantityAt(nudgeNode, 'signedTime')
  if (nudge !== null) checkRange(nudgeNode, secondsOf(nudge, rate), NUDGE_RANGE, context.faults)
  const distanceNode = fieldOf(draft.node, 'distance')
  const distance = quantityAt(distanceNode, 'length')
  const distanceMetres = distance === null ? null : metresOf(distance)
  checkRange(distanceNode, distanceMetres, DISTANCE_RANGE, context.faults)
  const common = {
    name: draft.name,
    polarity: polarityOf(draft.node),
    lag,
    nudgeSamples: nudge === null ? 0 : (samplesOf(nudge, rate) ?? 0),
    distanceMetres,
  }
  if (draft.kind === 'group') return { kind: 'group', ...common, group: draft.group }
  const { facts, absolute, shown } = draft.file
  const channels = facts === null ? null : selectionOf(draft, facts.channels)
  if (facts === null || channels === null) return null
  const laid = draft.pieces?.laid ?? null
  const selection = laid === null ? channels : { ...channels, laid: laid.layout }
  const slate = slateFileOf(draft, rate, context)
  return {
    kind: 'file',
    ...common,
    file: absolute,
    fileShown: shown,
    via: draft.via,
    selection,
    facts,
    ...(laid === null
      ? {}
      : {
          pieces: laid.recordings.map((recording, i) => ({
            ...recording,
            ...statedOfPiece(draft.pieces!.nodes[i]!.node, searchSeconds, rate, context),
          })),
        }),
    slate,
  }
}

const statedOfPiece = (
  node: Located,
  searchSeconds: number,
  rate: number | null,
  context: MeaningContext,
): Pick<PieceRecording, 'polarity' | 'lag'> => ({
  ...(fieldOf(node, 'polarity') === undefined ? {} : { polarity: polarityOf(node) }),
  ...(fieldOf(node, 'lag') === undefined ? {} : { lag: lagOf(node, searchSeconds, rate, context) }),
})

const polarityOf = (of: Located): SessionSource['polarity'] => {
  const typed = textOf(fieldOf(of, 'polarity'))
  return typed === 'as-recorded' || typed === 'inverted' ? typed : 'measured'
}

const lagOf = (
  of: Located,
  searchSeconds: number,
  rate: number | null,
  { faults }: MeaningContext,
): SessionSource['lag'] => {
  const node = fieldOf(of, 'lag')
  if (textOf(node) === 'as-recorded') return 'as-recorded'
  const stated = quantityAt(node, 'signedTime')
  if (node === undefined || stated === null) return 'measured'
  const seconds = secondsOf(stated, rate)
  if (seconds !== null && Math.abs(seconds) > searchSeconds && !faults.toldAt(node.at)) {
    faults.add('RECIPE_LAG_BEYOND_SEARCH', 'this lag lies beyond the search of the group', node.at, {
      expected: `at most ${searchSeconds * 1000} ms to either side`,
      mend: `check the unit, or raise  align: { search: ${Math.ceil(Math.abs(seconds) * 1000)} ms }`,
    })
  }
  const samples = samplesOf(stated, rate)
  return samples === null ? 'measured' : { samples }
}
