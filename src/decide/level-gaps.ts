import type { SongMeasurement } from '../measure/measurement.js'
import type { Session, SessionGroup, SessionSource } from '../recipe/session.js'
import { sourceChannels } from './channels.js'
import type { LevelGap } from './kept.js'
import { groupMeasurement, sessionGroup, sourceMeasurement } from './lookup.js'
import { levelGap, type PartLevel } from './match.js'

/** The level of a group is that of its reference, since its blend brings the others to that. */
export const levelOf = (
  session: Session,
  measurement: SongMeasurement,
  group: SessionGroup,
  name: string,
): PartLevel => {
  const source = group.sources.find(candidate => candidate.name === name)!
  if (source.kind === 'file') {
    const measured = sourceMeasurement(groupMeasurement(measurement, group.name), source.name)
    return { measured, channels: sourceChannels(session, source), sampleRateHz: group.sampleRateHz }
  }
  const inner = sessionGroup(session, source.group)
  return { ...levelOf(session, measurement, inner, inner.reference), sampleRateHz: group.sampleRateHz }
}

/** What lies between every source and the reference of its group, by `group/source`. */
export const levelGaps = (session: Session, measurement: SongMeasurement): ReadonlyMap<string, LevelGap> =>
  new Map(
    session.groups.flatMap(group => {
      const level = ({ name }: Pick<SessionSource, 'name'>) => levelOf(session, measurement, group, name)
      const reference = level({ name: group.reference })
      return group.sources.map(
        source => [`${group.name}/${source.name}`, levelGap(level(source), reference)] as const,
      )
    }),
  )
