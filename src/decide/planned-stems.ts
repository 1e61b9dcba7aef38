import { createHash } from 'node:crypto'
import path from 'node:path'
import type { Deliver, Depth } from '../recipe/session.js'
import { gainFromDb } from '../terms/units.js'
import type { BlendLeaf } from './blend-parts.js'
import { isDitherOwed } from './dither-owed.js'
import { partRuns } from './part-runs.js'
import type { PlannedSource, PlannedStem, StemPart } from './plan.js'
import { plannedFollow, sourceKey } from './planned-sources.js'
import { signOf } from './polarities.js'
import type { StemDraft } from './stem-drafts.js'
import type { Timeline } from './timeline.js'

/** What all stems of a song have in common. */
export interface StemFrame {
  readonly deliver: Deliver
  readonly depth: Depth
  readonly timeline: Timeline
  readonly sources: ReadonlyMap<string, PlannedSource>
}

/** @param turnDownDb By how much this stem is turned down in the end, 0 or more. */
export const plannedStem = (draft: StemDraft, frame: StemFrame, turnDownDb: number): PlannedStem => {
  const { leaves, ...about } = draft
  const { deliver, depth, timeline, sources } = frame
  const parts = leaves.map(leaf => stemPart(leaf, draft.sampleRateHz, timeline, turnDownDb))
  return {
    name: about.name,
    kind: about.kind,
    group: about.group,
    fileName: about.fileName,
    file: path.join(deliver.folder, about.fileName),
    sampleRateHz: about.sampleRateHz,
    channels: about.channels,
    depth,
    frames: timeline.frames(about.sampleRateHz),
    stampSamples: timeline.stampSamples(about.sampleRateHz),
    aligned: about.aligned,
    parts,
    dither: isDitherOwed(depth, parts, sources),
    ditherSeed: seedOf(draft, parts, sources),
  }
}

const stemPart = (leaf: BlendLeaf, rate: number, timeline: Timeline, turnDownDb: number): StemPart => {
  const recordedAtSamples = timeline.position(leaf.place, rate)
  const level = turnDownDb === 0 ? leaf.weight : leaf.weight * gainFromDb(-turnDownDb)
  return {
    key: sourceKey(leaf.group, leaf.source.name),
    atSamples: recordedAtSamples + leaf.place.shiftSamples,
    gain: level * signOf(leaf.place.polarity),
    recordedAtSamples,
    recordedGain: level,
    weightShown: leaf.weightShown,
    matchGainDb: leaf.matchGainDb,
    follow: plannedFollow(leaf.place, rate),
    ...(leaf.place.pieces === null
      ? {}
      : {
          runs: partRuns(leaf.source, leaf.place.pieces, leaf.place.polarity, recordedAtSamples),
        }),
  }
}

// The stem's name and its inputs' contents, and nothing else: not the folder, the song, the take or the moves.
const seedOf = (
  { group, name }: StemDraft,
  parts: readonly StemPart[],
  sources: ReadonlyMap<string, PlannedSource>,
): string => {
  const inputs = parts.map(part => sources.get(part.key)!.sha256)
  return createHash('sha256')
    .update([group, name, ...inputs].join('\n'), 'utf8')
    .digest('hex')
}
