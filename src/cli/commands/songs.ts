import pLimit from 'p-limit'
import { findRecipes } from '../../jobs/album/find-recipes.js'
import { songsOfShard, workOf } from '../../jobs/album/shard.js'
import { songsAtOnce } from '../../jobs/album/songs-at-once.js'
import { openPool, type SongPool } from '../../jobs/open-pool.js'
import type { Progress } from '../../jobs/progress.js'
import { loadSongs } from '../../jobs/song/load-songs.js'
import type { Session } from '../../recipe/session.js'
import type { Fault } from '../../terms/fault.js'
import type { Warning } from '../../terms/warning.js'
import type { Options } from '../options.js'
import { collecting } from '../progress/collecting.js'
import type { Run } from '../run.js'
import type { SongWarning } from '../tell.js'

export interface SongsDone<Result> {
  /** In the order of the recipes, whichever was done first. */
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
 * Finds and reads all recipes, then does the work for each song, or for the songs of one shard, several at a time where there are threads
 * for them. What comes of a song does not depend on the others. A song that fails, be it for its recipe, does not keep the others from
 * being done; an interruption ends everything.
 * @throws SumwellError where no recipe is found, and where two songs would deliver to one folder
 */
export const eachSong = async <Result>(
  given: readonly string[],
  options: Options,
  run: Run,
  writes: boolean,
  work: (session: Session, pool: SongPool, progress: Progress) => Promise<Result>,
): Promise<SongsDone<Result>> => {
  const recipes = await findRecipes(given)
  const { allowOutside, take } = options
  const loaded = await loadSongs(recipes, { allowOutside, take, ownFolders: writes })
  const songs = songsOf(loaded.sessions, options)
  const pool = openPool({ jobs: run.jobs, signal: run.signal, progress: () => undefined })
  const whole = run.progress.songs(
    songs.map(song => song.work),
    writes,
  )
  const limit = pLimit(songsAtOnce(run.jobs))
  const workOn = async (session: Session, index: number): Promise<Worked<Result>> => {
    if (run.signal.aborted) return { kind: 'left' }
    const progress = collecting(whole.song(index))
    const part = pool.part(({ audioSeconds }) => {
      progress.advance(audioSeconds)
    })
    try {
      return { kind: 'done', result: await work(session, part, progress) }
    } catch (error) {
      const faults = run.faultsOf(error, `at work on ${session.recipeShown}`)
      const { recipeShown, song, take } = session
      await part.stop()
      return { kind: 'failed', failed: { recipe: recipeShown, song, take, faults } }
    } finally {
      progress.end()
    }
  }
  try {
    const worked = await Promise.all(songs.map(({ session }, i) => limit(workOn, session, i)))
    const wrong = isFirstShard(options)
      ? loaded.wrong.map(({ recipe, faults }): FailedSong => ({ recipe, song: null, take: null, faults }))
      : []
    const failed = [...wrong, ...worked.flatMap(one => (one.kind === 'failed' ? [one.failed] : []))]
    const done = worked.flatMap(one => (one.kind === 'done' ? [one.result] : []))
    return { done, failed, faults: faultsOfAll(failed), recipes }
  } finally {
    await pool.close()
  }
}

type Worked<Result> =
  | { readonly kind: 'done'; readonly result: Result }
  | { readonly kind: 'failed'; readonly failed: FailedSong }
  /** Not begun when the run was broken off. */
  | { readonly kind: 'left' }

/** All faults; that the run was broken off is told once, however many songs were at work. */
const faultsOfAll = (failed: readonly FailedSong[]): readonly Fault[] => {
  const faults = failed.flatMap(one => one.faults)
  const first = faults.findIndex(({ code }) => code === 'INTERRUPTED')
  return faults.filter(({ code }, i) => code !== 'INTERRUPTED' || i === first)
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
