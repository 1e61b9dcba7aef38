import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { commonFolder, fromFolder } from '../../jobs/album/find-recipes.js'
import { tool } from '../../jobs/tool.js'
import { worstOf } from '../../measure/verdict/worst-of.js'
import type { Album, AlbumSong } from '../../report/album/album.js'
import { changesSince } from '../../report/album/changes.js'
import { readAlbum } from '../../report/album/read-album.js'
import { albumName, writeAlbum } from '../../report/album/write-album.js'
import type { Fault } from '../../terms/fault.js'
import type { Warning } from '../../terms/warning.js'
import type { Options } from '../options.js'
import type { RenderedSongFields } from '../rendered-song.js'
import type { Run } from '../run.js'
import type { FailedSong, SongsDone } from './songs.js'

/** A song that was rendered, or found as it was. */
export interface DoneSong {
  readonly fields: RenderedSongFields
  readonly warnings: readonly Warning[]
}

export interface AlbumWritten {
  /** The page, or the summary of a shard; null where none was asked for or it could not be written. */
  readonly file: string | null
  readonly json: string | null
  readonly page: string | null
  readonly faults: readonly Fault[]
}

/** Writes the summary of a call about several songs, against the one that lies there from the run before. */
export const writeAlbumOf = (
  done: readonly DoneSong[],
  { failed, recipes }: Pick<SongsDone<unknown>, 'failed' | 'recipes'>,
  options: Options,
  run: Run,
): AlbumWritten => {
  const { album: wish, shard } = options
  const folder = resolve(typeof wish === 'string' ? commonFolder(recipes) : wish.folder)
  try {
    const before = formerSongs(folder)
    const songs = [
      ...done.map(song => doneSong(song, folder)),
      ...failed.map(song => failedSong(song, folder)),
    ].map(song => {
      const former = before.get(song.recipe)
      return { ...song, changes: former === undefined ? null : changesSince(former, song) }
    })
    const album: Album = {
      format: 1,
      tool: tool(),
      made: { at: new Date().toISOString() },
      shard,
      songs: songs.sort((a, b) => (a.recipe < b.recipe ? -1 : a.recipe > b.recipe ? 1 : 0)),
    }
    const written = writeAlbum(folder, album)
    return { file: written.page ?? written.json, ...written, faults: [] }
  } catch (error) {
    return { file: null, json: null, page: null, faults: run.faultsOf(error, 'writing the summary') }
  }
}

/** The songs of the run before; none where there was none, or where what lies there is not ours to read. */
const formerSongs = (folder: string): ReadonlyMap<string, AlbumSong> => {
  const file = join(folder, albumName(null))
  if (!existsSync(file)) return new Map()
  try {
    return new Map(readAlbum(file).songs.map(song => [song.recipe, song]))
  } catch {
    return new Map()
  }
}

const doneSong = ({ fields, warnings }: DoneSong, folder: string): Omit<AlbumSong, 'changes'> => {
  const groups = [...new Set(fields.sources.map(({ group }) => group))]
  return {
    recipe: fromFolder(folder, resolve(fields.recipe)),
    song: fields.song,
    take: fields.take,
    state: 'done',
    page: fromFolder(folder, fields.reportPage),
    reportJson: fromFolder(folder, fields.reportJson),
    groups: groups.map(name => {
      const sources = fields.sources.filter(({ group }) => group === name)
      const rate = fields.stems.find(({ group }) => group === name)?.sampleRateHz ?? null
      return {
        name,
        verdict: worstOf(sources.map(({ verdict }) => verdict)),
        sources: sources.map(({ source, lagSamples, polarity, verdict }) => ({
          name: source,
          lagMs:
            lagSamples === null || rate === null ? null : Number(((1000 * lagSamples) / rate).toFixed(4)),
          polarity,
          verdict,
        })),
      }
    }),
    stems: fields.stems.map(({ name, sha256, loudnessLufs }) => ({ name, sha256, loudnessLufs })),
    warnings: warnings.map(({ code, group, source, message }) => ({ code, group, source, message })),
    faults: [],
  }
}

const failedSong = (
  { recipe, song, take, faults }: FailedSong,
  folder: string,
): Omit<AlbumSong, 'changes'> => ({
  recipe: fromFolder(folder, resolve(recipe)),
  song,
  take,
  state: 'failed',
  page: null,
  reportJson: null,
  groups: [],
  stems: [],
  warnings: [],
  faults: faults.map(({ code, message }) => ({ code, message })),
})
