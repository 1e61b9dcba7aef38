import { measureSong, notSureFaults } from '../../jobs/song/measure-song.js'
import { measureText } from '../measure-text.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'
import { eachSong, warningsOf } from './songs.js'

export const measure = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { done, faults } = await eachSong(recipes, options, run, false, (session, pool) =>
      measureSong(session, pool, run.progress),
    )
    return {
      songs: done.map(({ recipe, song, take, groups }) => ({ recipe, song, take, groups })),
      text: page => done.map(song => measureText(song, page)).join('\n'),
      warnings: done.flatMap(warningsOf),
      warningsInText: false,
      faults: options.strict ? [...faults, ...done.flatMap(notSureFaults)] : faults,
    }
  })
