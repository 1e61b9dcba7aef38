import type { Plan } from '../../decide/plan.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import type { Session } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { reportTasks } from '../tasks.js'
import type { Waveform } from '../waveform/waveform.js'
import { waveformsOf } from '../waveform/waveforms-of.js'
import type { Listen, SoundBytes } from './listen.js'
import { passagesOf } from './passages-of.js'
import { MOST_TEXT_BYTES, textBytes } from './room.js'

/** All that the page of a song holds of its recordings. */
export interface PageSounds {
  /** By group. */
  readonly listens: ReadonlyMap<string, Listen>
  readonly waveforms: ReadonlyMap<string, Waveform>
  readonly bytes: SoundBytes
}

export const SILENT: PageSounds = { listens: new Map(), waveforms: new Map(), bytes: new Map() }

/** The whole song, coarsely, for the eye; and passages without loss for the ear, as long as what is left of the page's room allows. */
export const pageSounds = async (
  session: Session,
  measurement: SongMeasurement,
  plan: Plan,
  tasks: Pooled<typeof reportTasks>,
): Promise<PageSounds> => {
  const seen = await waveformsOf(session, measurement, plan, tasks)
  const taken = [...seen.bytes.values()].reduce((sum, bytes) => sum + textBytes(bytes.length), 0)
  const heard = await passagesOf(session, plan, tasks, { roomBytes: MOST_TEXT_BYTES - taken })
  return {
    listens: heard.listens,
    waveforms: seen.waveforms,
    bytes: new Map([...heard.bytes, ...seen.bytes]),
  }
}
