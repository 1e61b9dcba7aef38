import { valueAt } from './follow.js'
import type { PlacedFile } from './planned-sources.js'
import type { StemDraft } from './stem-drafts.js'
import { type Span, type Timeline, timelineOf } from './timeline.js'

/** The timeline of a song: all its files where they come to lie, and those of blends as recorded where they were recorded too. */
export const songTimeline = (files: readonly PlacedFile[], drafts: readonly StemDraft[]): Timeline =>
  timelineOf([
    ...files.map(({ source, place }) => spanOf(source.facts, place, false)),
    ...drafts.flatMap(draft =>
      draft.leaves.map(leaf => spanOf(leaf.source.facts, leaf.place, !draft.aligned)),
    ),
  ])

const spanOf = (
  facts: PlacedFile['source']['facts'],
  place: PlacedFile['place'],
  alsoAsRecorded: boolean,
): Span => ({
  sampleRateHz: facts.sampleRateHz,
  frames: facts.frames,
  isStamped: place.isStamped,
  recordedAtSamples: place.recordedAtSamples,
  firstShiftSamples: place.pieces?.[0]?.shiftSamples ?? shiftAt(place, 0),
  lastShiftSamples: place.pieces?.at(-1)?.shiftSamples ?? shiftAt(place, facts.frames / facts.sampleRateHz),
  alsoAsRecorded,
})

const shiftAt = ({ follow, shiftSamples }: PlacedFile['place'], atSeconds: number): number =>
  follow === null ? shiftSamples : valueAt(follow, atSeconds)
