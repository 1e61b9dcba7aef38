import type { SongMeasurement } from '../measure/measurement.js'
import type { FileSource, Session, SessionSource } from '../recipe/session.js'
import { slewSeconds, stepOwnSeconds } from './follow.js'
import { groupMeasurement, sessionGroup, sourceMeasurement } from './lookup.js'
import type { Stretch, Survey } from './survey.js'

/** A step is known to about this time; the shift is changed at the quietest place within it. */
const REACH_SECONDS = 0.75
/** A shorter place is no rest between notes. */
const SHORTEST_REST_SECONDS = 0.05

/** Middle of each slew of the sources whose steps are followed, seconds of the file's own time, by `group/source`. */
export type QuietSteps = ReadonlyMap<string, readonly number[]>

/** Asks for a quiet place near every step that is going to be followed. Without such steps the survey is not asked. */
export const quietSteps = async (
  session: Session,
  measurement: SongMeasurement,
  survey: Survey,
): Promise<QuietSteps> => {
  const wanted = session.groups
    .filter(group => group.align.follow === 'steps')
    .flatMap(group =>
      group.sources.map(source => ({
        key: `${group.name}/${source.name}`,
        stretches: stretchesOf(session, measurement, group.name, source),
      })),
    )
    .filter(({ stretches }) => stretches.length > 0)
  if (wanted.length === 0) return new Map()
  const found = await survey.quietSpots(wanted.flatMap(({ stretches }) => stretches))
  let next = 0
  return new Map(
    wanted.map(({ key, stretches }) => {
      const seconds = found.slice(next, next + stretches.length)
      next += stretches.length
      return [key, seconds]
    }),
  )
}

// Two steps share the time between them, so that their places keep their order.
const stretchesOf = (
  session: Session,
  measurement: SongMeasurement,
  group: string,
  source: SessionSource,
): readonly Stretch[] => {
  const { sampleRateHz } = sessionGroup(session, group)
  const measured = sourceMeasurement(groupMeasurement(measurement, group), source.name)
  const steps = measured.steps ?? []
  const times = steps.map(step => stepOwnSeconds(step, measured, sampleRateHz))
  const { file, selection } = recordingOf(session, source)
  return steps.map((step, i) => ({
    file,
    selection,
    startSeconds: Math.max(times[i]! - REACH_SECONDS, (times[i]! + (times[i - 1] ?? -Infinity)) / 2),
    endSeconds: Math.min(times[i]! + REACH_SECONDS, (times[i]! + (times[i + 1] ?? Infinity)) / 2),
    lengthSeconds: Math.max(SHORTEST_REST_SECONDS, slewSeconds(step, sampleRateHz)),
  }))
}

/** The file of a source; of a group, that of its reference, by which it is measured. */
const recordingOf = (session: Session, source: SessionSource): FileSource => {
  if (source.kind === 'file') return source
  const group = sessionGroup(session, source.group)
  return recordingOf(session, group.sources.find(({ name }) => name === group.reference)!)
}
