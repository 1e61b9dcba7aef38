import type { Guess, GuessedGroup } from '../../jobs/init/guess.js'
import { initRecipe } from '../../jobs/init/init-recipe.js'
import { measuredWords } from '../../jobs/init/recipe-text.js'
import { withPool } from '../../jobs/with-pool.js'
import { counted } from '../../report/words/figures.js'
import { visibleText } from '../../terms/visible-text.js'
import { optionsOf } from '../options.js'
import { runCommand } from '../run.js'
import { shellWord } from '../shell-word.js'
import { shownPath } from '../shown-path.js'

/** Options of `init` as the command line leaves them. */
export interface InitCommandOptions {
  readonly name: string
  readonly dryRun?: true
  readonly json?: true
  readonly quiet?: true
  readonly jobs?: number
  readonly color: boolean
}

export const init = (folder: string, given: InitCommandOptions): Promise<void> =>
  runCommand(optionsOf(given), run =>
    withPool(run, async pool => {
      const dryRun = given.dryRun ?? false
      const { recipe, text, guess } = await initRecipe(folder, pool, run.progress, {
        name: given.name,
        dryRun,
      })
      return {
        songs: [],
        fields: { recipe, written: !dryRun, ...guess, text },
        text: () => (dryRun ? text : `${guessText(guess)}\n${writtenText(recipe)}`),
        warnings: [],
        warningsInText: true,
        faults: [],
      }
    }),
  )

/** How it guessed, group by group; ends with a line end. */
export const guessText = ({ song, take, earlierTakes, groups, alone, leftOut }: Guess): string => {
  const older =
    earlierTakes.length === 0
      ? ''
      : `, the latest (${earlierTakes.length === 1 ? 'take' : 'takes'} ${earlierTakes.join(', ')} passed over)`
  return [
    `${song}${take === null ? '' : `, take ${take}${older}`}`,
    ...groups.flatMap(groupText),
    ...(alone.length === 0 ? [] : ['', 'alone']),
    ...alone.map(({ file, why }) => `  ${file}: ${why}`),
    ...(leftOut.length === 0 ? [] : ['', 'left out']),
    ...leftOut.map(({ shown, why }) => `  ${shown}: ${why}`),
  ]
    .map(line => `${visibleText(line)}\n`)
    .join('')
}

const groupText = ({ name, reference, referenceBecause, sources }: GuessedGroup): readonly string[] => [
  '',
  `${name}: ${counted(sources.length, 'file')}`,
  ...sources.map(source => {
    if (source.name !== reference) return `  ${source.file}: ${measuredWords(source)}`
    return `  ${source.file}: the reference, ${referenceBecause === 'name' ? 'by its name' : 'since it arrives first'}`
  }),
]

const writtenText = (recipe: string): string => {
  const shown = shownPath(recipe)
  return (
    visibleText(
      `Written: ${shown}. Read it through: what is a guess says so. Then: sumwell check ${shellWord(shown)}`,
    ) + '\n'
  )
}
