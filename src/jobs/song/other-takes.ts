import type { Contents } from '../../lock/cache/contents.js'
import { measureSession } from '../../measure/measure-session.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import { fileOf } from '../../measure/session/session-source.js'
import { type OtherTake, poolTakes } from '../../measure/takes/pool-takes.js'
import type { Session, SessionGroup } from '../../recipe/session.js'
import type { Warning } from '../../terms/warning.js'
import { type Memory, type MemoryWish, openMemory } from '../memory/memory.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { audioSecondsOf } from './recordings.js'
import { type SetupTake, setupTakes } from './setup-takes.js'

interface Means {
  readonly pool: SongPool
  readonly progress: Progress
  readonly wish: MemoryWish
}

/**
 * A measurement with the lags of several takes as one, where the recipe says that nothing was moved between them; else as it is. The other
 * takes are measured too, or remembered. One that is not there, or cannot be read, is left out and told.
 * @throws SumwellError with what made a recording of another take unreadable on the way; INTERRUPTED
 */
export const withOtherTakes = async (
  session: Session,
  measurement: SongMeasurement,
  memory: Memory,
  { pool, progress, wish }: Means,
): Promise<SongMeasurement> => {
  const found = await setupTakes(session)
  const sessions = found.flatMap(take => (take.session === null ? [] : [withOnly(take.session, take.groups)]))
  const audioSeconds = sessions.reduce((sum, one) => sum + audioSecondsOf(one), 0)
  if (sessions.length > 0) progress.stage({ song: session.song, doing: 'measuring takes', audioSeconds })
  const others: OtherTake[] = []
  for (const take of found) others.push(await measuredTake(take, pool, wish))
  const pooled = poolTakes(session, measurement, soundsOf(session, memory.contents), others)
  return { ...pooled, warnings: [...pooled.warnings, ...missing(session, found)] }
}

const measuredTake = async (
  { song, take, groups, session }: SetupTake,
  pool: SongPool,
  wish: MemoryWish,
): Promise<OtherTake> => {
  if (session === null) return { song, take, groups, measured: null, sounds: new Map() }
  const only = withOnly(session, groups)
  const { rooms, recall, contents } = await openMemory(only, pool, wish)
  const measured = await measureSession(only, rooms.measure, recall)
  return { song, take, groups, measured: measured.groups, sounds: soundsOf(only, contents) }
}

/** A session with some of its groups, and those that are sources of them. */
const withOnly = (session: Session, names: ReadonlySet<string>): Session => {
  const kept = new Set(names)
  // A group stands behind those that are sources of it.
  for (const group of [...session.groups].reverse()) {
    if (!kept.has(group.name)) continue
    for (const source of group.sources) if (source.kind === 'group') kept.add(source.group)
  }
  return { ...session, groups: session.groups.filter(({ name }) => kept.has(name)) }
}

/** By `group/source`: the sound of a source and of the reference that it is measured against. */
const soundsOf = (session: Session, contents: Contents): ReadonlyMap<string, string> => {
  const soundOf = (group: SessionGroup, name: string): string => {
    const file = fileOf(session, group.sources.find(source => source.name === name)!)
    return `${contents.fingerprint(file.file)?.audioSha256 ?? file.file} ${JSON.stringify(file.selection)}`
  }
  return new Map(
    session.groups.flatMap(group =>
      group.sources.map(({ name }): [string, string] => [
        `${group.name}/${name}`,
        `${soundOf(group, name)} ${soundOf(group, group.reference)}`,
      ]),
    ),
  )
}

/** Which takes are not there, each once; and where that leaves one take alone. */
const missing = (session: Session, found: readonly SetupTake[]): readonly Warning[] => {
  const told = (message: string): Warning => ({ code: 'TAKE_MISSING', group: null, source: null, message })
  const lost = found.flatMap(({ song, take, why }) =>
    why === null
      ? []
      : [
          told(
            `${song === session.song ? '' : `${song}, `}take ${take ?? ''} is left out of the pool: ${why}.`,
          ),
        ],
  )
  const setups = session.groups.flatMap(({ setup }) => (setup === null ? [] : [setup]))
  const isListed = setups.some(({ name, takes }) => name !== null || takes.includes(session.take ?? ''))
  if (setups.length === 0 || found.some(take => take.session !== null)) return lost
  if (isListed)
    return [
      ...lost,
      told(`No other take of the setup is there: this one is measured by itself.${place(setups)}`),
    ]
  return [
    ...lost,
    told(
      `Take ${session.take ?? ''} is not among the takes that the recipe lists as one setup (takes:): it is measured by itself.`,
    ),
  ]
}

const place = (setups: readonly NonNullable<SessionGroup['setup']>[]): string => {
  const name = setups.find(setup => setup.name !== null)?.name
  return name === undefined || name === null
    ? ''
    : ` Recipes of setup ${name} are looked for in the folder where that line is written, and below: write it in the recipe that all inherit from.`
}
