import { measureSong, notSureFaults } from '../../jobs/song/measure-song.js'
import { measureText } from '../measure-text.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'
import { memoryOf } from './memory-of.js'
import { eachSong, warningsOf } from './songs.js'

export const measure = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { done, faults } = await eachSong(recipes, options, run, false, async (session, pool, progress) => {
      const song = await measureSong(session, pool, progress, memoryOf(options))
      return { song, doubts: options.strict ? notSureFaults(session, song) : [] }
    })
    const songs = done.map(({ song }) => song)
    return {
      songs: songs.map(({ recipe, song, take, groups }) => ({ recipe, song, take, groups })),
      text: page => songs.map(song => measureText(song, page)).join('\n'),
      warnings: songs.flatMap(warningsOf),
      warningsInText: false,
      faults: [...faults, ...done.flatMap(({ doubts }) => doubts)],
    }
  })
