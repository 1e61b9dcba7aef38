import { relative } from 'node:path'
import type { Plan } from '../../decide/plan.js'
import { planText } from '../../decide/plan-text.js'
import { type PlannedSong, planSong } from '../../jobs/song/plan-song.js'
import { type RenderedSong, renderSong } from '../../jobs/song/render-song.js'
import { archiveFolder } from '../../render/archive-folder.js'
import type { FormerStem } from '../../render/deliver-folder.js'
import { summaryText } from '../../report/terminal/summary-text.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Options } from '../options.js'
import { renderedSongFields } from '../rendered-song.js'
import { runCommand } from '../run.js'
import { albumOf } from './album-wish.js'
import { eachSong, warningsOf } from './songs.js'

export const render = (recipes: readonly string[], options: Options): Promise<void> =>
  options.dryRun ? dryRun(recipes, options) : printStems(recipes, options)

const dryRun = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { done, faults } = await eachSong(recipes, options, run, true, (session, pool) =>
      planSong(session, pool, run.progress, options),
    )
    return {
      songs: done.map(({ plan }) => plan),
      text: ({ width }) => done.map(({ plan }) => `${shownPlan(plan, width)}\n`).join('\n'),
      warnings: done.flatMap(songWarnings),
      warningsInText: false,
      faults,
    }
  })

const printStems = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { done, ...rest } = await eachSong(recipes, options, run, true, (session, pool) =>
      renderSong(session, pool, run.progress, {
        ...options,
        signal: run.signal,
        madeAt: session.deliver.report.dated ? new Date().toISOString() : null,
      }).then(song => ({ ...song, archive: options.archive ? archiveFolder(song.plan.folder) : null })),
    )
    const songs = done.map(song => ({ fields: renderedSongFields(song), warnings: song.report.warnings }))
    const album = await albumOf(songs, rest, options, run)
    return {
      songs: songs.map(({ fields }) => fields),
      text: ({ width, colour }) =>
        `${done
          .map(
            song =>
              summaryText(song.report, { columns: width, colour, reportShown: shown(song.written.page) }) +
              beside(song),
          )
          .join('\n')}${album.file === null ? '' : `\nAll songs: ${visibleText(shown(album.file))}\n`}`,
      warnings: done.flatMap(({ session, report }) =>
        warningsOf({ recipe: session.recipeShown, warnings: report.warnings }),
      ),
      warningsInText: true,
      faults: [...rest.faults, ...album.faults],
    }
  })

/** What is told of the folder, beside the summary. */
const beside = ({ formerStems, archive }: RenderedSong & { readonly archive: string | null }): string => {
  const lines = formerStems.map(({ fileName, state }) => `${visibleText(fileName)}: ${FORMER[state]}`)
  return [...lines, ...(archive === null ? [] : [`packed: ${shown(archive)}`])]
    .map(line => `${line}\n`)
    .join('')
}

const FORMER: Readonly<Record<FormerStem['state'], string>> = {
  left: 'the recipe no longer makes this stem; an earlier render left it here (--prune removes it)',
  removed: 'the recipe no longer makes this stem: removed',
  changed: 'the recipe no longer makes this stem; it is not as it was delivered, and was left',
}

const songWarnings = ({ session, measurement, plan }: PlannedSong) =>
  warningsOf({ recipe: session.recipeShown, warnings: [...measurement.warnings, ...plan.warnings] })

/** No text of the recipe may move the cursor. */
const shownPlan = (plan: Plan, width: number): string =>
  planText(plan, width).split('\n').map(visibleText).join('\n')

/** Relative where that is shorter to read. */
const shown = (path: string): string => {
  const short = relative(process.cwd(), path)
  return short.startsWith('..') ? path : short
}
