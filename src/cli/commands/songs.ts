import { findRecipes } from '../../jobs/album/find-recipes.js'
import { songsOfShard, workOf } from '../../jobs/album/shard.js'
import { openPool, type SongPool } from '../../jobs/open-pool.js'
import { loadSongs } from '../../jobs/song/load-songs.js'
import type { Session } from '../../recipe/session.js'
import type { Fault } from '../../terms/fault.js'
import type { Warning } from '../../terms/warning.js'
import type { Options } from '../options.js'
import { timeLeft } from '../progress/time-left.js'
import type { Run } from '../run.js'
import type { SongWarning } from '../tell.js'

export interface SongsDone<Result> {
  readonly done: readonly Result[]
  readonly faults: readonly Fault[]
  /** Each song that is not among the done, with what kept it. */
  readonly failed: readonly FailedSong[]
  /** All recipes of the call, also those of other shards. */
  readonly recipes: readonly string[]
}

export interface FailedSong {
  /** As the user wrote it. */
  readonly recipe: string
  /** null where the recipe is wrong. */
  readonly song: string | null
  readonly take: string | null
  readonly faults: readonly Fault[]
}

/**
 * Finds and reads all recipes, then does the work for each song in turn, or for the songs of one shard. A song that fails, be it for its
 * recipe, does not keep the others from being done; an interruption ends everything.
 * @throws SumwellError where no recipe is found, and where two songs would deliver to one folder
 */
export const eachSong = async <Result>(
  given: readonly string[],
  options: Options,
  run: Run,
  writes: boolean,
  work: (session: Session, pool: SongPool) => Promise<Result>,
): Promise<SongsDone<Result>> => {
  const recipes = await findRecipes(given)
  const { allowOutside, take } = options
  const loaded = await loadSongs(recipes, { allowOutside, take, ownFolders: writes })
  const songs = songsOf(loaded.sessions, options)
  const pool = openPool({
    jobs: run.jobs,
    signal: run.signal,
    progress: ({ audioSeconds }) => {
      run.progress.advance(audioSeconds)
    },
  })
  const done: Result[] = []
  const failed: FailedSong[] = isFirstShard(options)
    ? loaded.wrong.map(({ recipe, faults }) => ({ recipe, song: null, take: null, faults }))
    : []
  const left = timeLeft(songs.map(song => song.work))
  try {
    for (const [i, { session }] of songs.entries()) {
      if (songs.length > 1) run.progress.place({ number: i + 1, of: songs.length, secondsLeft: left(i) })
      try {
        done.push(await work(session, pool))
      } catch (error) {
        const faults = run.faultsOf(error, `at work on ${session.recipeShown}`)
        failed.push({ recipe: session.recipeShown, song: session.song, take: session.take, faults })
        if (run.signal.aborted) break
        await pool.stop()
      }
    }
  } finally {
    await pool.close()
  }
  return { done, failed, faults: failed.flatMap(({ faults }) => faults), recipes }
}

const songsOf = (sessions: readonly Session[], { shard }: Options) => {
  const songs = sessions.map(session => ({ session, recipe: session.recipeShown, work: workOf(session) }))
  return shard === null ? songs : songsOfShard(songs, shard)
}

/** Which tells of the recipes that are wrong: one of all shards. */
const isFirstShard = ({ shard }: Options): boolean => shard === null || shard.number === 1

/** The warnings of a song, each with the recipe that it belongs to: a call may be about several. */
export const warningsOf = (song: {
  readonly recipe: string
  readonly warnings: readonly Warning[]
}): readonly SongWarning[] =>
  song.warnings.map(({ code, group, source, message }) => ({
    code,
    group,
    source,
    message,
    recipe: song.recipe,
  }))
