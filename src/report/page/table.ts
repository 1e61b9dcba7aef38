import { html, type Markup, type Piece } from './markup.js'

export interface Column {
  readonly head: Piece
  /** Numbers stand right, in figures of one width. */
  readonly numeric?: boolean
}

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
        : html`<td class="${columns[i]?.numeric ? 'n' : 't'}">${cell}</td>`,
    )}</tr>
`,
)}</tbody></table></section>`
