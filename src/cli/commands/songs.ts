import { openPool, type SongPool } from '../../jobs/open-pool.js'
import { loadSongs } from '../../jobs/song/load-songs.js'
import type { Session } from '../../recipe/session.js'
import type { Fault } from '../../terms/fault.js'
import type { Warning } from '../../terms/warning.js'
import type { Options } from '../options.js'
import type { Run } from '../run.js'
import type { SongWarning } from '../tell.js'

export interface SongsDone<Result> {
  readonly done: readonly Result[]
  readonly faults: readonly Fault[]
}

/**
 * Reads all recipes, then does the work for each song in turn. A recipe that is wrong stops all before anything is begun. A song
 * that fails does not keep the others from being done; an interruption ends everything.
 * @throws SumwellError with the faults of the recipes
 */
export const eachSong = async <Result>(
  recipes: readonly string[],
  options: Options,
  run: Run,
  writes: boolean,
  work: (session: Session, pool: SongPool) => Promise<Result>,
): Promise<SongsDone<Result>> => {
  const sessions = await loadSongs(recipes, { allowOutside: options.allowOutside, ownFolders: writes })
  const pool = openPool({
    jobs: run.jobs,
    signal: run.signal,
    progress: ({ audioSeconds }) => {
      run.progress.advance(audioSeconds)
    },
  })
  const done: Result[] = []
  const faults: Fault[] = []
  try {
    for (const session of sessions) {
      try {
        done.push(await work(session, pool))
      } catch (error) {
        faults.push(...run.faultsOf(error, `at work on ${session.recipeShown}`))
        if (run.signal.aborted) break
        await pool.stop()
      }
    }
  } finally {
    await pool.close()
  }
  return { done, faults }
}

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
