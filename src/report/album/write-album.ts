import { join } from 'node:path'
import { writeWhole } from '../../wave/atomic-file.js'
import type { Album } from './album.js'
import { albumPage } from './album-page.js'

export interface WrittenAlbum {
  readonly json: string
  /** null for a shard: the page is drawn when all are merged. */
  readonly page: string | null
}

/** Name of the summary of an album, or of a part of it. */
export const albumName = (shard: Album['shard']): string =>
  shard === null ? 'album.json' : `album.shard-${shard.number}-of-${shard.of}.json`

/**
 * Writes the summary, and the page where it is whole, each file whole or not at all.
 * @throws SumwellError WRITE_FAILED, WRITE_DISK_FULL, WRITE_NOT_ALLOWED
 */
export const writeAlbum = (folder: string, album: Album): WrittenAlbum => {
  const json = join(folder, albumName(album.shard))
  writeWhole(json, `${JSON.stringify(album, null, 2)}\n`)
  if (album.shard !== null) return { json, page: null }
  const page = join(folder, 'album.html')
  writeWhole(page, albumPage(album))
  return { json, page }
}
