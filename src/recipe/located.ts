import type { SourceText } from './text/source-text.js'

/** A stretch of a recipe's text: where a value or a key stands. Offsets in UTF-16 units. */
export interface Span {
  readonly source: SourceText
  readonly start: number
  readonly end: number
}

/** A value of a recipe together with the place where it is written, which may be in a base recipe. */
export type Located = LocatedScalar | LocatedList | LocatedMap | LocatedBroken

export interface LocatedScalar {
  readonly kind: 'scalar'
  readonly at: Span
  readonly value: string | number | boolean | null
  /** The text as typed (`04`, `1e3`); for a quoted text its content. */
  readonly typed: string
}

export interface LocatedList {
  readonly kind: 'list'
  readonly at: Span
  readonly items: readonly Located[]
}

export interface LocatedMap {
  readonly kind: 'map'
  readonly at: Span
  readonly entries: ReadonlyMap<string, LocatedEntry>
  /** An entry was left out because its key was reported as wrong: what seems to be missing may be that one. */
  readonly incomplete: boolean
}

export interface LocatedEntry {
  readonly keyAt: Span
  readonly value: Located
}

/** Something that was reported as wrong already; nothing more is said about it. */
export interface LocatedBroken {
  readonly kind: 'broken'
  readonly at: Span
}

/** The value without its places, for the schema. A number too large to be one stays text. Own properties only. */
export const plainOf = (located: Located): unknown => {
  switch (located.kind) {
    case 'scalar':
      return typeof located.value === 'number' && !Number.isFinite(located.value)
        ? located.typed
        : located.value
    case 'list':
      return located.items.map(plainOf)
    case 'map':
      return Object.fromEntries([...located.entries].map(([key, entry]) => [key, plainOf(entry.value)]))
    case 'broken':
      return null
  }
}

/** What a map holds under a name; undefined where it does not, or where the value is no map. */
export const fieldOf = (located: Located | undefined, name: string): Located | undefined =>
  located?.kind === 'map' ? located.entries.get(name)?.value : undefined

/** More entries than this in one block are a fault of their own (`maxProperties` in the schema); the rest is not looked at. */
const MAX_ENTRIES = 256

/** The entries of a map, in their order; none where it is no map. */
export const entriesOf = (located: Located | undefined): readonly [string, LocatedEntry][] =>
  located?.kind === 'map' ? [...located.entries].slice(0, MAX_ENTRIES) : []

/** Names in a map; null where that is no map or lacks an entry that was reported, so that nothing can be said of what is missing. */
export const namesOf = (located: Located | undefined): readonly string[] | null =>
  located?.kind === 'map' && !located.incomplete ? [...located.entries.keys()] : null

/** The text of a scalar; undefined where it is no text. */
export const textOf = (located: Located | undefined): string | undefined =>
  located?.kind === 'scalar' && typeof located.value === 'string' ? located.value : undefined

/** The scalar as it was typed, be it text, number or truth value; undefined where it is empty or no scalar. */
export const typedOf = (located: Located | undefined): string | undefined =>
  located?.kind === 'scalar' && located.value !== null ? located.typed : undefined
