import type { Plan } from '../../decide/plan.js'
import type { PlannedSong } from '../../jobs/song/plan-song.js'
import { rememberSettled, type SettledWish, settledSong } from '../../jobs/song/settled-song.js'
import type { Session } from '../../recipe/session.js'
import type { FormerStem } from '../../render/deliver-folder.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Warning } from '../../terms/warning.js'
import type { Options } from '../options.js'
import { type RenderedSongFields, renderedSongFields, unchangedText } from '../rendered-song.js'
import { runCommand } from '../run.js'
import { shownPath } from '../shown-path.js'
import type { Page } from '../tell.js'
import { albumOf } from './album-wish.js'
import { memoryOf } from './memory-of.js'
import { eachSong, warningsOf } from './songs.js'

export const render = async (recipes: readonly string[], options: Options): Promise<void> => {
  const once = options.dryRun ? dryRun : printStems
  if (!options.watch) return once(recipes, options)
  const { watchAndRender } = await import('./watch.js')
  return watchAndRender(recipes, options, changed => once(changed, options))
}

const dryRun = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const { planSong } = await import('../../jobs/song/plan-song.js')
    const { planText } = await import('../../decide/plan-text.js')
    const { done, faults } = await eachSong(recipes, options, run, true, (session, pool, progress) =>
      planSong(session, pool, progress, { ...options, memory: memoryOf(options) }),
    )
    return {
      songs: done.map(({ plan }) => plan),
      text: ({ width }) => done.map(({ plan }) => `${shownPlan(plan, width, planText)}\n`).join('\n'),
      warnings: done.flatMap(songWarnings),
      warningsInText: false,
      faults,
    }
  })

/** What is told of a song, be it rendered or found as it was. Plain data but for the text. */
interface ToldSong {
  readonly fields: RenderedSongFields
  readonly warnings: readonly Warning[]
  readonly text: (page: Page) => string
}

const printStems = (recipes: readonly string[], options: Options): Promise<void> =>
  runCommand(options, async run => {
    const wish: SettledWish = { memory: memoryOf(options), audio: options.audio, lags: options.lags }
    const { done, ...rest } = await eachSong(recipes, options, run, true, async (session, pool, progress) => {
      const settled = asItWas(session, wish, options)
      if (settled !== null) return settled
      const [{ renderSong }, { summaryText }] = await Promise.all([
        import('../../jobs/song/render-song.js'),
        import('../../report/terminal/summary-text.js'),
      ])
      const song = await renderSong(session, pool, progress, {
        ...options,
        memory: wish.memory,
        signal: run.signal,
        madeAt: session.deliver.report.dated ? new Date().toISOString() : null,
      })
      const { report, written, rendered } = song
      const archive = options.archive ? await archived(song.plan.folder) : null
      const fields = renderedSongFields({ ...song, archive })
      const delivered = [
        ...rendered.map(({ file }) => file),
        written.json,
        written.page,
        written.handoff,
        fields.checksums,
      ]
      const told: Settled = { fields, warnings: report.warnings }
      rememberSettled(session, wish, delivered, told)
      const text = ({ width, colour }: Page): string =>
        summaryText(report, { columns: width, colour, reportShown: shownPath(written.page) }) +
        beside(fields) +
        takeNote(options)
      return { fields, warnings: report.warnings, text } satisfies ToldSong
    })
    const album = await albumOf(done, rest, options, run)
    return {
      songs: [],
      fields: {
        songs: done.map(({ fields }) => fields),
        album: album.json === null ? null : { json: album.json, page: album.page },
      },
      text: page =>
        done.map(({ text }) => text(page)).join('\n') +
        (album.file === null ? '' : `\nAll songs: ${visibleText(shownPath(album.file))}\n`),
      warnings: done.flatMap(({ fields, warnings }) =>
        warningsOf({
          recipe: fields.recipe,
          warnings: [...warnings, ...fields.formerStems.flatMap(oldStem)],
        }),
      ),
      warningsInText: true,
      faults: [...rest.faults, ...album.faults],
    }
  })

/** As it is remembered. */
interface Settled {
  readonly fields: RenderedSongFields
  readonly warnings: readonly Warning[]
}

/** The song as the last render left it; null where anything has changed, or where not being sure is an error. */
const asItWas = (session: Session, wish: SettledWish, options: Options): ToldSong | null => {
  const { strict, remeasure, prune, archive } = options
  if (remeasure !== 'nothing' || prune || archive) return null
  const found = settledSong(session, wish)
  if (found === null) return null
  const { fields, warnings } = found.told as Settled
  if (strict && fields.sources.some(({ verdict }) => verdict !== 'sure')) return null
  const now = { ...fields, recipe: session.recipeShown, archive: null, unchanged: true }
  return {
    fields: now,
    warnings,
    text: page => unchangedText(now, warnings.length, shownPath(now.reportPage), page) + beside(now),
  }
}

const archived = async (folder: string): Promise<string> =>
  (await import('../../render/archive-folder.js')).archiveFolder(folder)

/** What is told of the folder, beside the summary. */
const beside = ({ formerStems, archive }: RenderedSongFields): string => {
  const lines = formerStems.map(({ fileName, state }) => `${visibleText(fileName)}: ${FORMER[state]}`)
  return [...lines, ...(archive === null ? [] : [`packed: ${shownPath(archive)}`])]
    .map(line => `${line}\n`)
    .join('')
}

/** The recipe is a person's: a take that was asked for here is not written into it. */
const takeNote = ({ take }: Options): string =>
  take === null
    ? ''
    : visibleText(`--take ${take} was for this run: to keep that take, write  take: ${take}  in the recipe`) +
      '\n'

/** Not in the report: it tells of the recordings, and the same ones always give the same report. */
const oldStem = ({ fileName, state }: FormerStem): readonly Warning[] =>
  state === 'removed'
    ? []
    : [{ code: 'OLD_STEMS', group: null, source: null, message: `${fileName}: ${FORMER[state]}` }]

const FORMER: Readonly<Record<FormerStem['state'], string>> = {
  left: 'the recipe no longer makes this stem; an earlier render left it here (--prune removes it)',
  removed: 'the recipe no longer makes this stem: removed',
  changed: 'the recipe no longer makes this stem; it is not as it was delivered, and was left',
}

const songWarnings = ({ session, measurement, plan }: PlannedSong) =>
  warningsOf({ recipe: session.recipeShown, warnings: [...measurement.warnings, ...plan.warnings] })

/** No text of the recipe may move the cursor. */
const shownPlan = (plan: Plan, width: number, planText: (plan: Plan, width: number) => string): string =>
  planText(plan, width).split('\n').map(visibleText).join('\n')
