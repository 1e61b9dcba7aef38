export type Side = 'left' | 'right'

const WORDS: ReadonlyMap<string, Side> = new Map([
  ['left', 'left'],
  ['right', 'right'],
])
const LETTERS: ReadonlyMap<string, Side> = new Map([
  ['l', 'left'],
  ['r', 'right'],
])

/**
 * Which side each name speaks of: `tom-left`, `Right room`; a lone letter only where a name that differs in nothing else has the
 * other one (`tom-l` beside `tom-r`). Null where a name tells no side.
 */
export const sidesByName = (names: readonly string[]): (Side | null)[] => {
  const split = names.map(name => name.toLowerCase().split(/[^\p{L}\p{N}]+/u))
  const whole = split.map(words => words.join(' '))
  return split.map(words => {
    const spoken = words.flatMap(word => WORDS.get(word) ?? [])
    if (spoken.length > 0) return spoken.length === 1 ? spoken[0]! : null
    const at = words.findLastIndex(word => LETTERS.has(word))
    if (at < 0) return null
    const side = LETTERS.get(words[at]!)!
    const twin = words.with(at, side === 'left' ? 'r' : 'l').join(' ')
    return whole.includes(twin) ? side : null
  })
}
