import type { Options } from '../options.js'
import type { Run } from '../run.js'
import type { AlbumWritten, DoneSong } from './album.js'
import type { SongsDone } from './songs.js'

/** The summary, where one is asked for: of several songs or of a shard, and not of a run that was broken off. */
export const albumOf = async (
  done: readonly DoneSong[],
  songs: Pick<SongsDone<unknown>, 'failed' | 'recipes'>,
  options: Options,
  run: Run,
): Promise<AlbumWritten> => {
  const { album: wish, shard } = options
  const unasked = wish === 'usual' && songs.recipes.length < 2 && shard === null
  if (wish === 'none' || unasked || run.signal.aborted)
    return { file: null, json: null, page: null, faults: [] }
  const { writeAlbumOf } = await import('./album.js') // one song alone must not wait for it
  return writeAlbumOf(done, songs, options, run)
}
