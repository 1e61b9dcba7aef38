import { isDoubtful } from '../../decide/pieces.js'
import { measureSession } from '../../measure/measure-session.js'
import type { SongMeasurement, SourceMeasurement } from '../../measure/measurement.js'
import type { Session } from '../../recipe/session.js'
import { type Fault, fault } from '../../terms/fault.js'
import { type Memory, type MemoryWish, noMemory, openMemory } from '../memory/memory.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { withOtherTakes } from './other-takes.js'
import { audioSecondsOf, fileWarnings } from './recordings.js'

// One reading for the health of each file; a coarse and a fine pass over each group.
const READINGS = 3

/**
 * Health, lag, polarity and verdict of every source of a song, with the warnings about its files. Writes nothing.
 * @throws SumwellError with what made a file unreadable; INTERRUPTED
 */
export const measureSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
  wish: MemoryWish = noMemory,
): Promise<SongMeasurement> => {
  beginMeasuring(session, progress)
  const memory = await openMemory(session, pool, wish)
  return withOtherTakes(session, await measureWith(session, memory), memory, { pool, progress, wish })
}

/** Tells that a song is being measured, and how much audio that will read. */
export const beginMeasuring = (session: Session, progress: Progress): void => {
  progress.stage({
    song: session.song,
    doing: 'measuring',
    audioSeconds: READINGS * audioSecondsOf(session),
  })
}

/** The same with what is remembered already. */
export const measureWith = async (session: Session, { rooms, recall }: Memory): Promise<SongMeasurement> => {
  const measurement = await measureSession(session, rooms.measure, recall)
  return { ...measurement, warnings: [...fileWarnings(session), ...measurement.warnings] }
}

/** For `--strict`: one fault for each source of which something that is asked for is not `sure`. What the recipe states needs no verdict. */
export const notSureFaults = (session: Session, measurement: SongMeasurement): readonly Fault[] =>
  session.groups.flatMap(({ name, reference, sources }) => {
    const measured = measurement.groups.find(group => group.name === name)?.sources ?? []
    return measured
      .filter(one => {
        const source = sources.find(stated => stated.name === one.name)
        if (source === undefined || one.name === reference) return one.verdict !== 'sure'
        return isDoubtful(source, one)
      })
      .map(source => notSure(name, source))
  })

const notSure = (group: string, { name, file, verdict, reason }: SourceMeasurement): Fault =>
  fault('NOT_SURE', `${group}/${name} is ${verdict}${reason === null ? '' : `: ${reason}`}`, {
    file,
    mend: 'listen and state lag and polarity in the recipe, or run without --strict to leave it as recorded',
  })
