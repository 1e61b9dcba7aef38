import { nearestOf } from '../../terms/nearest.js'
import type { LocatedScalar } from '../located.js'
import { cleanName } from '../words/clean-name.js'
import { fillIn, placeholdersIn } from '../words/placeholders.js'
import { type MeaningContext, type NamedWord, spanOfPiece } from './context.js'

/** How the song's or the take's text enters a path: `kept` names what exists already, `cleaned` names something new. */
export type Filling = 'kept' | 'cleaned'

/** Fills `{song}` and `{take}` into a text of the recipe. Reports unknown words, and `{take}` where there is no take. */
export const filledIn = (
  scalar: LocatedScalar,
  text: string,
  filling: Filling,
  context: MeaningContext,
): string => {
  checkPlaceholders(scalar, text, ['song', 'take'], context)
  const values = new Map([['song', wordFor(context.song, filling, text.includes('{song}'), context)]])
  if (context.take !== null) {
    values.set('take', wordFor(context.take, filling, text.includes('{take}'), context))
  }
  return fillIn(text, values)
}

/** Reports words in braces that mean nothing, and `{take}` where there is no take. */
export const checkPlaceholders = (
  scalar: LocatedScalar,
  text: string,
  allowed: readonly string[],
  context: MeaningContext,
): void => {
  for (const { word } of placeholdersIn(text)) {
    const at = spanOfPiece(scalar, `{${word}}`)
    if (!allowed.includes(word)) {
      const nearest = nearestOf(word, allowed)
      context.faults.add('RECIPE_PLACEHOLDER', `{${word}} stands for nothing here`, at, {
        expected: allowed.map(name => `{${name}}`).join(', '),
        nearest: nearest === null ? null : `{${nearest}}`,
        mend: nearest === null ? 'use one of these, or no braces' : `write {${nearest}}`,
      })
    } else if (word === 'take' && context.take === null) {
      context.faults.add('RECIPE_PLACEHOLDER', '{take} has nothing to stand for', at, {
        expected: 'a line  take: 4  in the recipe',
        mend: 'add take:, or remove {take}',
      })
    }
  }
}

const wordFor = (word: NamedWord, filling: Filling, used: boolean, context: MeaningContext): string => {
  if (filling === 'kept') return withoutSeparators(word.text)
  const cleaned = cleanName(word.text)
  if (used && cleaned === '' && word.at !== null && !context.faults.toldAt(word.at)) {
    context.faults.add('RECIPE_STEM_NAME', `nothing of "${word.text}" can stand in a file name`, word.at, {
      expected: 'a text with letters or digits',
      mend: 'choose another text',
    })
  }
  return cleaned
}

/** A word that cannot lead into another folder: `../x` becomes `_x`. */
const withoutSeparators = (text: string): string => text.replace(/[/\\]/g, '_').replace(/^\.+_*/, '_')
