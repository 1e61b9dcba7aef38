import { html, type Markup, type Piece } from './markup.js'

/** Natural widths at which a chart is drawn, px: for a column of a desk screen or paper, and for a telephone. */
export interface Widths {
  readonly wide: number
  readonly narrow: number
}

export const COLUMN: Widths = { wide: 560, narrow: 320 }
export const FULL: Widths = { wide: 1150, narrow: 320 }

/**
 * A chart with its caption and the table behind it. Drawn twice, so that its letters keep their size on a telephone; the style sheet shows one.
 * `draw` gets the width and an id that is unique in the page.
 */
export const figure = (input: {
  readonly id: string
  readonly widths: Widths
  readonly draw: (width: number, id: string) => Markup
  readonly caption: Piece
  readonly table: Markup
  readonly className?: string
}): Markup => html`<figure class="${input.className ?? 'drawn'}" id="${input.id}">
<div class="at-wide">${input.draw(input.widths.wide, `${input.id}-w`)}</div>
<div class="at-narrow">${input.draw(input.widths.narrow, `${input.id}-n`)}</div>
<figcaption>${input.caption}</figcaption>
<details class="behind"><summary>The numbers behind this chart</summary>${input.table}</details>
</figure>`
