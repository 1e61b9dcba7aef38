import { statSync } from 'node:fs'
import { filesOf, type Session } from '../../recipe/session.js'

/** Part `number` of `of`, from 1. */
export interface Shard {
  readonly number: number
  readonly of: number
}

/** Bytes of all recordings of a song: what the work for it grows with. A file that serves twice counts twice. */
export const workOf = (session: Session): number =>
  session.groups
    .flatMap(({ sources }) => sources)
    .flatMap(source => (source.kind === 'file' ? filesOf(source) : []))
    .reduce((sum, file) => sum + (statSync(file, { throwIfNoEntry: false })?.size ?? 0), 0)

/**
 * Divides songs so that every part has about the same work: the largest first, each to the part that has least so far. The same songs are
 * divided alike on every machine. In the order given within a part.
 */
export const songsOfShard = <Song extends { readonly recipe: string; readonly work: number }>(
  songs: readonly Song[],
  { number, of }: Shard,
): readonly Song[] => {
  const loads = Array.from({ length: of }, () => 0)
  const chosen = new Set<Song>()
  const largestFirst = [...songs].sort(
    (a, b) => b.work - a.work || (a.recipe < b.recipe ? -1 : a.recipe > b.recipe ? 1 : 0),
  )
  for (const song of largestFirst) {
    const least = loads.indexOf(Math.min(...loads))
    // A song without work counts a little: a row of empty ones is divided too.
    loads[least] = loads[least]! + Math.max(1, song.work)
    if (least === number - 1) chosen.add(song)
  }
  return songs.filter(song => chosen.has(song))
}
