import { type Fault, fault, SumwellError } from '../../terms/fault.js'
import type { Album } from './album.js'

export interface AlbumFile {
  readonly file: string
  readonly album: Album
}

/**
 * One album from the summaries of the shards of one run; or of several albums in one folder.
 * @throws SumwellError USAGE_ARGUMENTS where a shard is missing, given twice, or of another division
 */
export const mergeAlbums = (parts: readonly AlbumFile[], madeAt: string | null): Album => {
  const faults = [...divisionFaults(parts), ...twiceFaults(parts)]
  if (faults.length > 0) throw new SumwellError(faults)
  return {
    format: 1,
    tool: parts[0]!.album.tool,
    made: { at: madeAt },
    shard: null,
    songs: parts
      .flatMap(({ album }) => album.songs)
      .sort((a, b) => (a.recipe < b.recipe ? -1 : a.recipe > b.recipe ? 1 : 0)),
  }
}

const divisionFaults = (parts: readonly AlbumFile[]): readonly Fault[] => {
  const sharded = parts.flatMap(({ file, album }) => (album.shard === null ? [] : [{ file, ...album.shard }]))
  const [first] = sharded
  if (first === undefined) return []
  const other = sharded.filter(({ of }) => of !== first.of)
  const missing = Array.from({ length: first.of }, (_, i) => i + 1).filter(
    number => !sharded.some(shard => shard.number === number),
  )
  return [
    ...other.map(({ file, of }) =>
      fault('USAGE_ARGUMENTS', `it is one of ${of} shards, and ${first.file} one of ${first.of}`, {
        file,
        mend: 'give the shards of one run',
      }),
    ),
    ...(other.length > 0 ? [] : missing).map(number =>
      fault('USAGE_ARGUMENTS', `shard ${number} of ${first.of} is missing`, {
        mend: `render it with --shard ${number}/${first.of}, or look why it ended early`,
      }),
    ),
  ]
}

const twiceFaults = (parts: readonly AlbumFile[]): readonly Fault[] => {
  const seen = new Map<string, string>()
  return parts.flatMap(({ file, album }) =>
    album.songs.flatMap(({ recipe }) => {
      const before = seen.get(recipe)
      seen.set(recipe, file)
      if (before === undefined) return []
      return [
        fault('USAGE_ARGUMENTS', `${recipe} stands in ${before} too`, {
          file,
          mend: 'give each shard once, and only the shards of one run',
        }),
      ]
    }),
  )
}
