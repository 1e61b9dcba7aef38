import { type CheckedSong, checkSong } from '../../jobs/song/check-song.js'
import { fault } from '../../terms/fault.js'
import { checkText } from '../check-text.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'
import { eachSong, warningsOf } from './songs.js'

export const check = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { done, faults } = await eachSong(recipes, options, run, false, (session, pool, progress) =>
      checkSong(session, pool, progress),
    )
    return {
      songs: done.map(({ recipe, song, take, groups, files }) => ({ recipe, song, take, groups, files })),
      text: page => done.map(song => checkText(song, page)).join('\n'),
      warnings: done.flatMap(warningsOf),
      warningsInText: false,
      faults: options.strict ? [...faults, ...done.flatMap(silentFaults)] : faults,
    }
  })

/** A silent source is the one thing of which `check` knows already that its verdict will not be `sure`. */
const silentFaults = (song: CheckedSong) =>
  song.groups.flatMap(group =>
    group.sources
      .filter(source => source.silent)
      .map(source =>
        fault('NOT_SURE', `${group.name}/${source.name} is silent: its lag cannot be known`, {
          file: source.file,
          mend: 'name the right file, or leave the source out',
        }),
      ),
  )
