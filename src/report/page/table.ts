import { html, type Markup, type Piece } from './markup.js'

export interface Column {
  readonly head: Piece
  /** Numbers stand right, in figures of one width. */
  readonly numeric?: boolean
}

/** The head of a column as plain words, for places where it stands before each cell; empty where it is markup. */
const headWords = (column: Column | undefined): string =>
  typeof column?.head === 'string' ? column.head : ''

/** A table that scrolls by itself where it is wider than its place; the first cell of a row heads it. `label`: what it is, in words. */
export const table = (
  label: string,
  columns: readonly Column[],
  rows: readonly (readonly Piece[])[],
  className = '',
): Markup => html`<section class="scroll" aria-label="${label}" tabindex="0"><table class="${`plain ${className}`.trim()}">
<thead><tr>${columns.map(c => html`<th scope="col" class="${c.numeric ? 'n' : 't'}">${c.head}</th>`)}</tr></thead>
<tbody>${rows.map(
  row =>
    html`<tr>${row.map((cell, i) =>
      i === 0
        ? html`<th scope="row">${cell}</th>`
        : html`<td class="${columns[i]?.numeric ? 'n' : 't'}" data-head="${headWords(columns[i])}">${cell}</td>`,
    )}</tr>
`,
)}</tbody></table></section>`
