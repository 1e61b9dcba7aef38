import { decide } from '../../decide/decide.js'
import type { Plan } from '../../decide/plan.js'
import { lockPath } from '../../lock/file/lock-path.js'
import { lockFaults } from '../../lock/use/differences.js'
import { plannedLock } from '../../lock/use/lock-of.js'
import { type Remeasure, standingOf } from '../../lock/use/standing.js'
import { withLock } from '../../lock/use/with-lock.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import type { Session } from '../../recipe/session.js'
import { surveyWith } from '../../render/survey-with.js'
import { SumwellError } from '../../terms/fault.js'
import { type Memory, type MemoryWish, openMemory } from '../memory/memory.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { tool } from '../tool.js'
import { beginMeasuring, measureWith, notSureFaults } from './measure-song.js'
import { withOtherTakes } from './other-takes.js'
import { formerLock, refuseUnknownGroups, type SongLock } from './song-lock.js'

export interface PlannedSong {
  readonly session: Session
  /** With what stands in the lock in the place of what was measured now. */
  readonly measurement: SongMeasurement
  readonly plan: Plan
}

/** A planned song with what the rest of the line needs to know of its lock and of earlier runs. */
export interface PreparedSong extends PlannedSong {
  readonly lock: SongLock
  readonly memory: Memory
}

export interface PlanOptions {
  /** Refuse to plan what is not sure. */
  readonly strict: boolean
  /** Refuse to plan what differs from the lock. */
  readonly locked: boolean
  readonly remeasure: Remeasure
  readonly memory: MemoryWish
}

/**
 * Measures a song and decides every move, from its lock where that stands. Writes nothing.
 * @throws SumwellError NOT_SURE where `strict`, LOCK_DIFFERS where `locked` asks for it; LOCK_UNREADABLE; what reading throws; INTERRUPTED
 */
export const planSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
  options: PlanOptions,
): Promise<PreparedSong> => {
  refuseUnknownGroups(session, options.remeasure)
  const former = formerLock(session)
  beginMeasuring(session, progress)
  const memory = await openMemory(session, pool, options.memory)
  const about = { pool, progress, wish: options.memory }
  const measured = await withOtherTakes(session, await measureWith(session, memory), memory, about)
  const standing = standingOf(session, measured, memory.contents, former, options.remeasure)
  const locked = withLock(session, measured, standing, former, options.remeasure)
  const measurement = {
    ...locked.measurement,
    warnings: [...measured.warnings, ...locked.warnings],
  }
  const doubts = options.strict ? notSureFaults(session, measurement) : []
  if (doubts.length > 0) throw new SumwellError(doubts)
  progress.stage({ song: session.song, doing: 'planning', audioSeconds: null })
  const plan = await decide(session, measurement, surveyWith(memory.rooms.render), locked.kept)
  const found = { session, measurement, plan, standing, former, contents: memory.contents }
  const planned = plannedLock({ ...found, tool: tool() })
  const shown = lockPath(session.recipeShown)
  const differing = options.locked ? lockFaults(former, planned, shown) : []
  if (differing.length > 0) throw new SumwellError(differing)
  const lock = { path: lockPath(session.recipeFile), shown, former, standing, planned }
  return { session, measurement, plan, lock, memory }
}
