import { join, resolve } from 'node:path'
import { findRecipes } from '../../jobs/album/find-recipes.js'
import { exploreGroup } from '../../jobs/song/explore-group.js'
import { groupToExplore } from '../../jobs/song/explored-session.js'
import { loadSongs } from '../../jobs/song/load-songs.js'
import { withPool } from '../../jobs/with-pool.js'
import { cleanName } from '../../recipe/words/clean-name.js'
import { cellsOf } from '../../report/explore/choices.js'
import { requirePagePlace, writeExploration } from '../../report/explore/write-exploration.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { interrupted } from '../../terms/interrupted.js'
import { visibleText } from '../../terms/visible-text.js'
import { exploredFields } from '../explored-fields.js'
import { optionsOf } from '../options.js'
import { runCommand } from '../run.js'
import { shownPath } from '../shown-path.js'
import { memoryOf } from './memory-of.js'
import { warningsOf } from './songs.js'

/** Options of `explore` as the command line leaves them. */
export interface ExploreOptions {
  readonly out?: string
  readonly json?: true
  readonly quiet?: true
  readonly jobs?: number
  readonly take?: string
  readonly allowOutside?: true
  readonly color: boolean
}

export const explore = (recipe: string, groupName: string, given: ExploreOptions): Promise<void> => {
  const { out, ...common } = given
  const options = optionsOf(common)
  return runCommand(options, async run => {
    const { allowOutside, take } = options
    const { sessions, wrong } = await loadSongs([await oneRecipe(recipe)], {
      allowOutside,
      take,
      ownFolders: false,
    })
    if (wrong.length > 0) throw new SumwellError(wrong.flatMap(({ faults }) => faults))
    const session = sessions[0]!
    const group = groupToExplore(session, groupName)
    const file = resolve(
      out ?? join(session.deliver.folder, `explore-${cleanName(group.name) || 'group'}.html`),
    )
    const shown = shownPath(file)
    requirePagePlace(file, shown)
    return withPool(run, async pool => {
      const found = await exploreGroup(session, group.name, pool, run.progress, memoryOf(options))
      if (run.signal.aborted) throw interrupted()
      writeExploration(file, found.exploration, found.sounds)
      const count = cellsOf(found.exploration.choices).length
      return {
        songs: [exploredFields(session.recipeShown, file, found.exploration)],
        text: () =>
          `${visibleText(`Written: ${shown}. ${count} blends of ${group.name} to compare by ear. Open it in a browser, and start low.`)}\n`,
        warnings: warningsOf({ recipe: session.recipeShown, warnings: found.warnings }),
        warningsInText: false,
        faults: [],
      }
    })
  })
}

/** A recipe, or a folder with one recipe in it. */
const oneRecipe = async (given: string): Promise<string> => {
  const found = await findRecipes([given])
  if (found.length === 1) return found[0]!
  throw new SumwellError(
    fault('USAGE_ARGUMENTS', `there are ${found.length} recipes in ${given}`, {
      file: given,
      expected: 'one recipe',
      mend: 'name the recipe itself',
    }),
  )
}
