/** About so many characters are gathered before they are handed on. */
const PART_LENGTH = 1 << 16

/** The same text in fewer parts. */
export function* inLargerParts(parts: Iterable<string>): Generator<string> {
  let gathered = ''
  for (const part of parts) {
    gathered += part
    if (gathered.length < PART_LENGTH) continue
    yield gathered
    gathered = ''
  }
  yield gathered
}

/**
 * JSON of plain data piece by piece: the same text as `JSON.stringify(value, null, indent)`, but for lists of nothing but numbers, truths and
 * nulls, which stand on one line. A report of many sources is long, and nobody needs all of its text in memory at once.
 * @param indent Spaces to a level; 0 = all on one line.
 */
export function* jsonParts(value: unknown, indent: number): Generator<string> {
  yield* inLargerParts(pieces(value, indent, indent === 0 ? '' : '\n'))
}

/** Of text on one line, what lies so deep is small enough to be made at once. */
const DEEP = 6

/** `line`: what stands before a closing bracket of this level: a line break and the level's indent, or nothing. */
function* pieces(value: unknown, indent: number, line: string, depth = 0): Generator<string> {
  const small = indent === 0 && depth === DEEP
  if (small || typeof value !== 'object' || value === null || isFlat(value)) {
    yield value === undefined ? 'null' : JSON.stringify(value)
    return
  }
  const inner = indent === 0 ? '' : line + ' '.repeat(indent)
  const [open, close] = Array.isArray(value) ? '[]' : '{}'
  let before: string = open!
  const members: Iterable<readonly [string, unknown]> = Array.isArray(value)
    ? value.map(member => ['', member] as const)
    : Object.entries(value)
        .filter(([, member]) => member !== undefined)
        .map(([key, member]) => [`${JSON.stringify(key)}:${indent === 0 ? '' : ' '}`, member] as const)
  for (const [name, member] of members) {
    yield `${before}${inner}${name}`
    yield* pieces(member, indent, inner, depth + 1)
    before = ','
  }
  yield before === ',' ? `${line}${close}` : `${open}${close}`
}

const isFlat = (value: object): boolean =>
  Array.isArray(value) &&
  value.every(member => member === null || typeof member === 'number' || typeof member === 'boolean')
