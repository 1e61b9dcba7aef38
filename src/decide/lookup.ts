import type { GroupMeasurement, SongMeasurement, SourceMeasurement } from '../measure/measurement.js'
import type { Session, SessionGroup } from '../recipe/session.js'
import { fault, SumwellError } from '../terms/fault.js'

const missing = (what: string): SumwellError =>
  new SumwellError(
    fault('INTERNAL', `${what} is missing from the measurement`, {
      mend: 'measure the song again; if it stays, please report it with the recipe',
    }),
  )

/** @throws SumwellError INTERNAL: session and measurement belong to different recipes */
export const groupMeasurement = (measurement: SongMeasurement, name: string): GroupMeasurement => {
  const found = measurement.groups.find(group => group.name === name)
  if (found === undefined) throw missing(`group ${name}`)
  return found
}

/** @throws SumwellError INTERNAL: as above */
export const sourceMeasurement = (group: GroupMeasurement, name: string): SourceMeasurement => {
  const found = group.sources.find(source => source.name === name)
  if (found === undefined) throw missing(`source ${name} of group ${group.name}`)
  return found
}

/** @throws SumwellError INTERNAL: the session names a group that it does not have */
export const sessionGroup = (session: Session, name: string): SessionGroup => {
  const found = session.groups.find(group => group.name === name)
  if (found === undefined) throw missing(`group ${name}`)
  return found
}
