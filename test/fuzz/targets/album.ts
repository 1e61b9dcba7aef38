import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { albumPage } from '../../../src/report/album/album-page.js'
import { changesSince } from '../../../src/report/album/changes.js'
import { mergeAlbums } from '../../../src/report/album/merge-albums.js'
import { readAlbum } from '../../../src/report/album/read-album.js'
import { someAlbum } from '../documents.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import { mutatedJson } from '../mutate-json.js'
import type { Target } from '../target.js'

/** `sumwell merge` on a summary of a shard that somebody changed, and the album of the run before. */
export const albumTarget = (): Target => {
  const ground = playground()
  const file = join(ground.folder, 'album.shard-1-of-2.json')
  const second = { file: 'album.shard-2-of-2.json', album: someAlbum({ number: 2, of: 2 }) }
  const seeds = [someAlbum({ number: 1, of: 2 }), someAlbum(null)]
  const texts = seeds.map(seed => Buffer.from(JSON.stringify(seed)))
  return {
    name: 'album',
    ending: 'json',
    share: 0.08,
    make: chance =>
      chance.once(8)
        ? mutatedBytes(chance.pick(texts), chance, {
            within: 1e9,
            words: ['{', '}', 'null', '"', '1e999'],
            others: texts,
            mostChanges: chance.pick([1, 1, 2, 6]),
            mostBytes: 100_000,
          })
        : Buffer.from(JSON.stringify(mutatedJson(chance.pick(seeds), chance, chance.pick([1, 1, 1, 3])))),
    try: async input => {
      writeFileSync(file, input)
      const verdict = await judged(() => {
        const album = readAlbum(file)
        albumPage(album)
        for (const song of album.songs) changesSince(song, seeds[0]!.songs[0]!)
        for (const song of album.songs) changesSince(seeds[0]!.songs[0]!, song)
        albumPage(mergeAlbums([{ file, album }, second], null))
      })
      ground.expectOnly(['album.shard-1-of-2.json'])
      return verdict
    },
    close: ground.remove,
  }
}
