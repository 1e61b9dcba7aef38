import { padded, shortened, textWidth } from '../../terms/text-width.js'
import { visibleText } from '../../terms/visible-text.js'
import type { ReportGroup, ReportSource } from '../report.js'
import { fixed, metres, NO_VALUE, orDash, signed } from '../words/figures.js'
import { doneBriefly } from '../words/source-words.js'
import type { Ink } from './ink.js'

const NAME_COLUMNS = 24

/** Cells of one source: name, lag in ms, in frames with its uncertainty, air, polarity, verdict, what was done. */
const cellsOf = (source: ReportSource): readonly string[] => {
  const { lagMs, lagSamples, shownUncertaintySamples, distanceMetres, polarity, verdict } = source.measured
  const name = shortened(visibleText(source.name), NAME_COLUMNS)
  if (source.isReference && lagMs !== null) {
    return [name, 'reference', '', '', '', verdict, doneBriefly(source)]
  }
  const spread = shownUncertaintySamples === null ? '' : ` ± ${fixed(shownUncertaintySamples, 1)}`
  return [
    name,
    orDash(lagMs, ms => `${signed(ms, 2)} ms`),
    orDash(lagSamples, frames => `${signed(frames, 1)}${spread} fr`),
    orDash(distanceMetres, metres),
    polarity ?? NO_VALUE,
    verdict,
    doneBriefly(source),
  ]
}

const NUMBERS: ReadonlySet<number> = new Set([1, 2, 3])
const VERDICT = 5
const DONE = 6

/** Per group the lines of its sources, in columns that line up through the song; the last column goes where it does not fit. */
export const sourceLines = (
  groups: readonly ReportGroup[],
  columns: number,
  ink: Ink,
): readonly (readonly string[])[] => {
  const rows = groups.map(group => group.sources.map(cellsOf))
  const widths = Array.from({ length: DONE + 1 }, (_, i) =>
    Math.max(...rows.flat().map(row => textWidth(row[i] ?? ''))),
  )
  const all = widths.reduce((sum, width) => sum + width + 2, 0)
  const shown = all <= columns ? DONE + 1 : DONE
  return rows.map(group =>
    group.map(row => {
      const cells = row.slice(0, shown).map((text, i) => {
        const cell = padded(text, widths[i] ?? 0, NUMBERS.has(i) ? 'left' : 'right')
        if (i === VERDICT && text !== 'sure') return ink.alert(cell)
        return i === DONE && text !== '' ? ink.quiet(text) : cell
      })
      return `  ${cells.join('  ')}`.trimEnd()
    }),
  )
}
