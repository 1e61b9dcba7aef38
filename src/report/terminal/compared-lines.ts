import { wrapped } from '../../terms/text-width.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Comparison } from '../compared/comparison.js'
import { comparedTitle, sayings } from '../compared/words.js'
import { unbroken } from '../words/unbroken.js'
import { type Ink, inkOf } from './ink.js'

/** What changed since the take before: a title, then per group what there is to say. Empty lines none. */
export const comparedLines = (comparison: Comparison, columns: number, ink: Ink): readonly string[] => [
  ink.strong(comparedTitle(comparison)),
  ...sayings(comparison).flatMap(({ group, about }) => [
    `  ${visibleText(group)}`,
    ...about.flatMap(words =>
      wrapped(unbroken(visibleText(words)), Math.max(20, columns - 6)).map(
        (line, i) => `    ${i === 0 ? '' : '  '}${line.replaceAll('\u00A0', ' ')}`,
      ),
    ),
  ]),
]

/** The same as a text of its own. */
export const comparedText = (
  comparison: Comparison,
  song: string,
  { columns, colour }: { readonly columns: number; readonly colour: boolean },
): string => {
  const ink = inkOf(colour)
  return `${[ink.strong(visibleText(song)), ...comparedLines(comparison, columns, ink)].join('\n')}\n`
}
