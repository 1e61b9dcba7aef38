import type { CST } from 'yaml'

/** Deeper than any recipe (five levels); far from where the composer, which calls itself, would run out of stack. */
export const MAX_DEPTH = 32

/** What the tokens of a text tell before any node is made of them. Offsets in UTF-16 units. */
export interface TokenLook {
  /** Where the first value lies that is nested deeper than the limit; null where none is. */
  readonly tooDeepAt: number | null
  /** Tags, anchors and aliases, in the order of the text. */
  readonly marks: readonly {
    readonly kind: 'tag' | 'anchor' | 'alias'
    readonly at: number
    readonly length: number
  }[]
  /** The last bracket, and the last quote, that is opened and never closed. */
  readonly openBracketAt: number | null
  readonly openQuoteAt: number | null
}

/** Looks through all tokens with its own stack: depth costs no calls. */
export const lookAtTokens = (tokens: readonly CST.Token[]): TokenLook => {
  const marks: TokenLook['marks'][number][] = []
  let tooDeepAt: number | null = null
  let openBracketAt: number | null = null
  let openQuoteAt: number | null = null
  const later = (a: number | null, b: number): number => Math.max(a ?? 0, b)

  const mark = (props: readonly CST.SourceToken[] | undefined): void => {
    for (const { type, offset, source } of props ?? []) {
      if (type === 'tag' || type === 'anchor') marks.push({ kind: type, at: offset, length: source.length })
    }
  }
  const open: { token: CST.Token; depth: number }[] = tokens.map(token => ({ token, depth: 0 }))
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const { token, depth } = next
    if (token.type === 'document') {
      mark(token.start)
      if (token.value !== undefined) open.push({ token: token.value, depth })
    } else if (token.type === 'alias') {
      marks.push({ kind: 'alias', at: token.offset, length: token.source.length })
    } else if (token.type === 'double-quoted-scalar' || token.type === 'single-quoted-scalar') {
      const closed = token.source.length > 1 && token.source.endsWith(token.source[0]!)
      if (!closed) openQuoteAt = later(openQuoteAt, token.offset)
    } else if ('items' in token) {
      if (depth >= MAX_DEPTH) {
        tooDeepAt = Math.min(tooDeepAt ?? token.offset, token.offset)
        continue
      }
      if (token.type === 'flow-collection' && !token.end.some(end => /^flow-.*-end$/.test(end.type))) {
        openBracketAt = later(openBracketAt, token.offset)
      }
      for (const item of token.items) {
        mark(item.start)
        mark(item.sep)
        for (const inner of [item.key, item.value]) {
          if (inner !== null && inner !== undefined) open.push({ token: inner, depth: depth + 1 })
        }
      }
    }
  }
  return { tooDeepAt, marks: marks.sort((a, b) => a.at - b.at), openBracketAt, openQuoteAt }
}
