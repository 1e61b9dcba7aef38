import { readdirSync } from 'node:fs'
import { join, relative } from 'node:path'
import { mergeAlbums } from '../../report/album/merge-albums.js'
import { readAlbum } from '../../report/album/read-album.js'
import { writeAlbum } from '../../report/album/write-album.js'
import { counted } from '../../report/words/figures.js'
import { type Fault, fault, SumwellError } from '../../terms/fault.js'
import { FAULT_CODES } from '../../terms/fault-codes.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'

export const merge = (folder: string, options: Options): Promise<void> =>
  runCommand(options, () =>
    Promise.resolve().then(() => {
      const files = shardFiles(folder)
      const album = mergeAlbums(
        files.map(file => ({ file, album: readAlbum(file) })),
        new Date().toISOString(),
      )
      const { json, page } = writeAlbum(folder, album)
      const failed = album.songs.filter(({ state }) => state === 'failed')
      const done = album.songs.length - failed.length
      return {
        songs: [],
        fields: { json, page: page ?? json, done, failed: failed.length },
        text: () =>
          `${counted(files.length, 'part')}, ${counted(album.songs.length, 'song')}, ${failed.length} failed: ${visibleText(relative(process.cwd(), page ?? json))}\n`,
        warnings: [],
        warningsInText: true,
        faults: failed.flatMap(({ recipe, faults }) => faults.map(one => told(recipe, one))),
      }
    }),
  )

const shardFiles = (folder: string): readonly string[] => {
  const files = namesIn(folder)
    .filter(name => /^album\.shard-\d+-of-\d+\.json$/.test(name))
    .sort()
    .map(name => join(folder, name))
  if (files.length > 0) return files
  throw new SumwellError(
    fault('USAGE_ARGUMENTS', `no summary of a shard lies in ${folder}`, {
      file: folder,
      expected: 'files such as album.shard-2-of-8.json, which "render --shard" leaves',
      mend: 'name the folder that holds all recipes, or the one given with --album',
    }),
  )
}

const namesIn = (folder: string): readonly string[] => {
  try {
    return readdirSync(folder)
  } catch {
    return []
  }
}

/** What kept a song from being done, as the shard told it: its code decides the exit status here too. */
const told = (recipe: string, { code, message }: { code: string; message: string }): Fault =>
  fault(FAULT_CODES.find(known => known === code) ?? 'INTERNAL', message, {
    file: recipe,
    mend: 'see what its shard told',
  })
