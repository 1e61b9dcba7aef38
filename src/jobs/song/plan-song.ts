import { decide } from '../../decide/decide.js'
import type { Plan } from '../../decide/plan.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import type { Session } from '../../recipe/session.js'
import { surveyWith } from '../../render/survey-with.js'
import { SumwellError } from '../../terms/fault.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { measureSong, notSureFaults } from './measure-song.js'

export interface PlannedSong {
  readonly session: Session
  readonly measurement: SongMeasurement
  readonly plan: Plan
}

export interface PlanOptions {
  /** Refuse to plan what is not sure. */
  readonly strict: boolean
}

/**
 * Measures a song and decides every move. Writes nothing.
 * @throws SumwellError NOT_SURE where `strict` asks for it; what reading throws; INTERRUPTED
 */
export const planSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
  { strict }: PlanOptions,
): Promise<PlannedSong> => {
  const measurement = await measureSong(session, pool, progress)
  const doubts = strict ? notSureFaults(session, measurement) : []
  if (doubts.length > 0) throw new SumwellError(doubts)
  progress.stage({ song: session.song, doing: 'planning', audioSeconds: null })
  const plan = await decide(session, measurement, surveyWith(pool.rooms.render))
  return { session, measurement, plan }
}
