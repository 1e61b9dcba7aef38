import { once } from 'node:events'
import { relative } from 'node:path'
import { type FSWatcher, watch as watchFiles } from 'chokidar'
import { findRecipes } from '../../jobs/album/find-recipes.js'
import { type FilesOfRecipe, filesOfRecipe } from '../../jobs/watch/files-of-recipe.js'
import { settled } from '../../jobs/watch/settled.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { visibleText } from '../../terms/visible-text.js'
import { EXIT } from '../exit-status.js'
import { listenForInterrupt } from '../interrupt.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'
import { terminalOf } from '../terminal.js'

/**
 * Renders, then again whatever song has changed: its recipe, what that inherits from, or a recording; once they are whole. Ends with 130 at
 * Ctrl-C, between two renders or in the middle of one.
 */
export const watchAndRender = async (
  given: readonly string[],
  options: Options,
  render: (recipes: readonly string[]) => Promise<void>,
): Promise<void> => {
  if (options.json) return refuseJson(options)
  const err = terminalOf(process.stderr, !options.color)
  const say = (line: string) => {
    if (!options.quiet) err.write(`${visibleText(line)}\n`)
  }
  const recipes = await findRecipes(given)
  const changed = new Set<string>()
  const watcher = watchFiles([], { ignoreInitial: true, persistent: true, atomic: true })
  watcher.on('all', (_, path) => changed.add(path))
  try {
    let files = await follow(watcher, recipes, options, new Map())
    let wanted = recipes
    for (;;) {
      await render(wanted)
      if (process.exitCode === EXIT.interrupted) return
      files = await follow(watcher, recipes, options, files)
      const interrupt = listenForInterrupt(() => undefined)
      try {
        say(`watching ${filesIn(files)}; Ctrl-C ends it`)
        if (changed.size === 0) await once(watcher, 'all', { signal: interrupt.signal })
        await settled(
          changed,
          file => [...files.values()].some(f => f.recordings.has(file)),
          interrupt.signal,
        )
      } catch (error) {
        if (!interrupt.signal.aborted) throw error
        process.exitCode = EXIT.interrupted
        return
      } finally {
        interrupt.release()
      }
      const what = [...changed]
      changed.clear()
      wanted = recipes.filter(recipe => what.some(file => hangsOn(files.get(recipe), file)))
      say(changeLine(what, wanted))
    }
  } finally {
    await watcher.close()
  }
}

/** `--json` promises one document, and this does not end. */
const refuseJson = (options: Options): Promise<void> =>
  runCommand({ ...options, json: false }, () =>
    Promise.reject(
      new SumwellError(
        fault('USAGE_ARGUMENTS', '--watch and --json do not go together', {
          mend: 'leave one of them out; report.json is written at every render',
        }),
      ),
    ),
  )

type Files = ReadonlyMap<string, FilesOfRecipe>

/** Watches what the recipes now hang on. A recipe that is wrong keeps what it hung on before, so that its mending is seen. */
const follow = async (
  watcher: FSWatcher,
  recipes: readonly string[],
  options: Options,
  before: Files,
): Promise<Files> => {
  const now = new Map<string, FilesOfRecipe>()
  for (const recipe of recipes) {
    const found = await filesOfRecipe(recipe, {
      allowOutside: options.allowOutside,
      take: options.take ?? undefined,
    })
    const former = before.get(recipe)
    now.set(recipe, found.recordings.size === 0 && former !== undefined ? former : found)
  }
  const all = (files: Files) => new Set([...files.values()].flatMap(f => [...f.texts, ...f.recordings]))
  const [old, fresh] = [all(before), all(now)]
  watcher.unwatch([...old].filter(file => !fresh.has(file)))
  const added = [...fresh].filter(file => !old.has(file))
  if (added.length > 0) {
    watcher.add(added)
    if (old.size === 0) await once(watcher, 'ready')
  }
  return now
}

const hangsOn = (files: FilesOfRecipe | undefined, file: string): boolean =>
  files !== undefined && (files.texts.has(file) || files.recordings.has(file))

const filesIn = (files: Files): string => {
  const count = new Set([...files.values()].flatMap(f => [...f.texts, ...f.recordings])).size
  return `${count} ${count === 1 ? 'file' : 'files'}`
}

/** One line: what changed, and what is done about it. */
const changeLine = (what: readonly string[], recipes: readonly string[]): string => {
  const [first = '', ...rest] = what.map(file => relative(process.cwd(), file))
  const more = rest.length === 0 ? '' : ` and ${rest.length} more`
  return `changed: ${first}${more}; rendering ${recipes.length === 1 ? recipes[0] : `${recipes.length} songs`}`
}
