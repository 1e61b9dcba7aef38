import { html, type Markup, type Piece } from './markup.js'

/**
 * Where a chart stands, and the natural widths at which it is drawn for it, px: `wide` on a desk screen, `middle` on a tablet or paper,
 * `narrow` on a telephone. Drawn for each, so that its letters keep their size; the style sheet shows one.
 */
export const PLACES = {
  /** Over the whole page. */
  full: { wide: 1150, middle: 690, narrow: 320 },
  /** Half a page; a column of paper takes the narrow one. */
  column: { wide: 560, narrow: 320 },
  /** Beside the words of a group on the first screen. */
  margin: { wide: 400, narrow: 320 },
} as const

/** A chart with its caption and the table behind it. `draw` gets the width and an id that is unique in the page. */
export const figure = (input: {
  readonly id: string
  readonly place: keyof typeof PLACES
  readonly draw: (width: number, id: string) => Markup
  readonly caption: Piece
  /** null where what is drawn follows the listener's hand. */
  readonly table: Markup | null
}): Markup => {
  const drawings = Object.entries(PLACES[input.place]).map(
    ([size, width]) => html`<div class="at-${size}">${() => input.draw(width, `${input.id}-${size}`)}</div>
`,
  )
  return html`<div class="drawn ${input.place}" id="${input.id}"><figure>
${drawings}<figcaption>${input.caption}</figcaption></figure>
${input.table !== null && html`<details class="behind"><summary>The numbers behind this chart</summary>${input.table}</details>`}</div>`
}
