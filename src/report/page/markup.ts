import { visibleText } from '../../terms/visible-text.js'

/** What is drawn when it is written, and let go again: a page of many sources is larger than anybody needs to hold at once. */
export type Later = () => Markup

/** HTML or SVG that is safe to insert as it stands. Made only by `html` and `trusted`. */
export class Markup {
  readonly chunks: readonly (string | Later)[]

  constructor(chunks: readonly (string | Later)[]) {
    this.chunks = chunks
  }

  get text(): string {
    return [...this.parts()].join('')
  }

  /** The same piece by piece. */
  *parts(): Generator<string> {
    for (const chunk of this.chunks) {
      if (typeof chunk === 'string') yield chunk
      else yield* chunk().parts()
    }
  }
}

/** What may stand in a template: texts and numbers are escaped, markup passes, lists are joined, null and false are nothing. */
export type Piece = Markup | Later | string | number | null | undefined | false | readonly Piece[]

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

/** Markup from a template. Everything inserted is escaped unless it is markup already: attributes must be quoted. */
export const html = (strings: TemplateStringsArray, ...pieces: readonly Piece[]): Markup => {
  const chunks: (string | Later)[] = []
  let text = strings[0] ?? ''
  const later = (chunk: Later): void => {
    chunks.push(text, chunk)
    text = ''
  }
  const write = (piece: Piece): void => {
    if (piece === null || piece === undefined || piece === false) return
    if (typeof piece === 'function') later(piece)
    else if (typeof piece === 'string') text += escaped(piece)
    else if (typeof piece === 'number') text += String(piece)
    else if (!(piece instanceof Markup)) piece.forEach(write)
    else
      for (const chunk of piece.chunks) {
        if (typeof chunk === 'string') text += chunk
        else later(chunk)
      }
  }
  for (const [i, piece] of pieces.entries()) {
    write(piece)
    text += strings[i + 1] ?? ''
  }
  return new Markup([...chunks, text])
}

/** Our own text that is markup as it stands: style sheets, chart paths. Never for anything from a recipe or a file. */
export const trusted = (text: string): Markup => new Markup([text])

/** A name from a recipe or a file, held apart so that right-to-left letters do not reorder what stands beside it. */
export const named = (text: string): Markup => html`<bdi>${text}</bdi>`
