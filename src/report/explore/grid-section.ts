import { html, type Markup, named } from '../page/markup.js'
import { fixed, hertz, NO_VALUE } from '../words/figures.js'
import type { CellFigures } from './cell-figures.js'
import { cellWords, placeWords } from './cell-words.js'
import type { Cell, Grid, GridColumn } from './choices.js'

/** A cell with its number on the page and what is predicted of it. */
export interface ToldCell {
  readonly number: number
  readonly cell: Cell
  readonly figures: CellFigures | null
}

/** Less would be written as 0.0. */
const LEAST_DB = 0.05

/** Evenness first where something is pitched, then the loss. */
const figureWords = (figures: CellFigures | null): readonly string[] => {
  if (figures === null) return [NO_VALUE]
  const { evennessDb, worst } = figures
  return [
    ...(evennessDb === null ? [] : [`evenness ${fixed(evennessDb, 1)} dB`]),
    worst === null || worst.lossDb < LEAST_DB
      ? 'loses nothing'
      : `loses ${fixed(worst.lossDb, 1)} dB at ${hertz(worst.hz)}`,
  ]
}

const choice = ({ number, cell, figures }: ToldCell): Markup => {
  const [first, ...more] = figureWords(figures)
  return html`<label class="cell"><input type="radio" name="cell" value="${number}"><span>${first}<span class="unseen">, ${cellWords(cell)}</span></span>${more.map(words => html`<small>${words}</small>`)}</label>`
}

const columnHead = (second: string, { aligned, polarity, asDelivered }: GridColumn): Markup =>
  html`<th scope="col">${placeWords(aligned)},<br>${named(second)} ${polarity === 'inverted' ? 'inverted' : 'as it is'}${asDelivered && html`<br><span class="delivered">as a render delivers it</span>`}</th>`

/** The reference against one other source: a table in which each cell can be chosen. */
export const gridSection = (
  { first, second, columns, rows }: Grid,
  tell: (cell: Cell) => ToldCell,
): Markup => html`<section class="grid"><h2>${named(first)} and ${named(second)}</h2>
<section class="scroll" aria-label="Blends of ${first} and ${second}: evenness and greatest loss of each" tabindex="0"><table class="plain">
<thead><tr><th scope="col">${named(first)} / ${named(second)}</th>${columns.map(column => columnHead(second, column))}</tr></thead>
<tbody>${rows.map(
  ({ weights, cells }) =>
    html`<tr><th scope="row">${weights[0]} / ${weights[1]}</th>${cells.map(cell => html`<td>${choice(tell(cell))}</td>`)}</tr>
`,
)}</tbody></table></section></section>`

/** What stands beside the tables: the reference alone, and all sources at once. */
export const besideSection = (cells: readonly Cell[], tell: (cell: Cell) => ToldCell): Markup =>
  html`<section class="grid"><h2>Beside them</h2><div class="row">${cells.map(cell => {
    const { number, figures } = tell(cell)
    const words =
      cell.parts.length > 1
        ? figureWords(figures).join(', ')
        : 'what the loudness of all others is measured against'
    return html`<label class="cell"><input type="radio" name="cell" value="${number}"><span>${cellWords(cell)}</span><small>${words}</small></label>`
  })}</div></section>`
