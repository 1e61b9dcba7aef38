import type { FileSource } from '../recipe/session.js'
import type { Decided } from './blend-parts.js'
import { sourceChannels } from './channels.js'
import type { Knot } from './follow.js'
import { sourceMeasurement } from './lookup.js'
import { knotsOfPieces } from './pieces.js'
import { aligned, type Place, placeWithin } from './place.js'
import type { Move, PlannedSource } from './plan.js'
import type { HeadPeak } from './survey.js'
import type { Timeline } from './timeline.js'

/** A recorded file with the place that its own group, and those that hold that, give it. */
export interface PlacedFile {
  readonly key: string
  readonly group: string
  readonly source: FileSource
  readonly place: Place
}

/** Key of a source in the plan. */
export const sourceKey = (group: string, source: string): string => `${group}/${source}`

/** Every recorded file of the song, group by group. */
export const placedFiles = ({ session, decisions, places }: Decided): readonly PlacedFile[] =>
  session.groups.flatMap(group =>
    group.sources.flatMap(source => {
      if (source.kind === 'group') return []
      const place = placeWithin(places.get(group.name)!, decisions.get(group.name)!, source, aligned)
      return [{ key: sourceKey(group.name, source.name), group: group.name, source, place }]
    }),
  )

/** A shift that changes, as the plan writes it. */
export const plannedFollow = (
  { follow, pieces }: Pick<Place, 'follow' | 'pieces'>,
  sampleRateHz: number,
): Move['follow'] => {
  const knots: readonly Knot[] | null = pieces === null ? follow : knotsOfPieces(pieces, sampleRateHz)
  return knots?.map(knot => ({ atSeconds: knot.atSeconds, shiftSamples: knot.samples })) ?? null
}

/** A source of the plan: what was decided for it, on the timeline of the stems, and what that cuts off at their start. */
export const plannedSource = (
  { session, decisions }: Decided,
  { key, group, source, place }: PlacedFile,
  timeline: Timeline,
  headCut: HeadPeak | null,
): PlannedSource => {
  const decision = decisions.get(group)!
  const measured = sourceMeasurement(decision.measured, source.name)
  return {
    key,
    group,
    source: source.name,
    file: source.file,
    fileShown: source.fileShown,
    sha256: measured.sha256 ?? '',
    facts: source.facts,
    selection: source.selection,
    channels: sourceChannels(session, source),
    isReference: decision.group.reference === source.name,
    recordedAtSamples: timeline.position(place, decision.group.sampleRateHz),
    move: {
      shiftSamples: place.shiftSamples,
      polarity: place.polarity,
      verdict: measured.verdict,
      because: place.because.join('; '),
      follow: plannedFollow(place, decision.group.sampleRateHz),
      ...(place.pieces === null ? {} : { pieces: place.pieces }),
    },
    headCut,
  }
}
