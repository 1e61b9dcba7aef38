import type { Located, Span } from '../located.js'

/** The value at a JSON pointer, with the key that it stands under; the deepest that exists. */
export interface Pointed {
  readonly value: Located
  /** Place of the key; null in a list and at the root. */
  readonly keyAt: Span | null
  /** Last name of the pointer: the key in its own spelling. */
  readonly name: string
  /** False where the pointer leads on beyond what exists. */
  readonly whole: boolean
}

/** Follows a JSON Pointer (RFC 6901) through what was read; stops where it leads nowhere, and then says so (`whole` false). */
export const pointedAt = (root: Located, pointer: string): Pointed => {
  const names = pointer
    .split('/')
    .slice(1)
    .map(name => name.replace(/~1/g, '/').replace(/~0/g, '~'))
  let found: Pointed = { value: root, keyAt: null, name: '', whole: true }
  for (const name of names) {
    const { value } = found
    if (value.kind === 'map') {
      const entry = value.entries.get(name)
      if (entry === undefined) return { ...found, whole: false }
      found = { value: entry.value, keyAt: entry.keyAt, name, whole: true }
    } else if (value.kind === 'list') {
      const item = value.items[Number(name)]
      if (item === undefined) return { ...found, whole: false }
      found = { value: item, keyAt: null, name: found.name, whole: true }
    } else return { ...found, whole: false }
  }
  return found
}
