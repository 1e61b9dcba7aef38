import { visibleText } from '../../terms/visible-text.js'

/** HTML or SVG that is safe to insert as it stands. Made only by `html` and `trusted`. */
export class Markup {
  readonly text: string
  constructor(text: string) {
    this.text = text
  }
}

/** What may stand in a template: texts and numbers are escaped, markup passes, lists are joined, null and false are nothing. */
export type Piece = Markup | string | number | null | undefined | false | readonly Piece[]

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

/** Text for an element or a quoted attribute: unseen characters written out, markup characters as entities. */
export const escaped = (text: string): string =>
  visibleText(text).replace(/[&<>"']/g, character => ENTITIES[character] ?? character)

const written = (piece: Piece): string => {
  if (piece === null || piece === undefined || piece === false) return ''
  if (piece instanceof Markup) return piece.text
  if (typeof piece === 'string') return escaped(piece)
  if (typeof piece === 'number') return String(piece)
  return piece.map(written).join('')
}

/** Markup from a template. Everything inserted is escaped unless it is markup already: attributes must be quoted. */
export const html = (strings: TemplateStringsArray, ...pieces: readonly Piece[]): Markup => {
  let text = strings[0] ?? ''
  for (const [i, piece] of pieces.entries()) text += written(piece) + (strings[i + 1] ?? '')
  return new Markup(text)
}

/** Our own text that is markup as it stands: style sheets, chart paths. Never for anything from a recipe or a file. */
export const trusted = (text: string): Markup => new Markup(text)

/** A name from a recipe or a file, held apart so that right-to-left letters do not reorder what stands beside it. */
export const named = (text: string): Markup => html`<bdi>${text}</bdi>`
