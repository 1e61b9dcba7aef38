import type { CST } from 'yaml'

/** Deeper than any recipe (five levels); far from where the composer, which calls itself, would run out of stack. */
export const MAX_DEPTH = 32

/** Offset of the first token that lies deeper than the limit, or null. Walks with its own stack: depth costs no calls. */
export const offsetOfTooDeep = (tokens: readonly CST.Token[]): number | null => {
  const open: { token: CST.Token; depth: number }[] = tokens.map(token => ({ token, depth: 0 }))
  let first: number | null = null
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const { token, depth } = next
    if (token.type === 'document') {
      if (token.value !== undefined) open.push({ token: token.value, depth })
    } else if ('items' in token) {
      if (depth >= MAX_DEPTH) first = Math.min(first ?? token.offset, token.offset)
      else
        for (const item of token.items)
          for (const inner of [item.key, item.value]) {
            if (inner !== null && inner !== undefined) open.push({ token: inner, depth: depth + 1 })
          }
    }
  }
  return first
}
