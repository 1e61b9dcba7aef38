import type { Located, LocatedEntry, LocatedMap } from './located.js'

/**
 * A recipe with what its base adds. What stands in the recipe wins. Groups, sources and blends are matched by their names, align,
 * deliver and report by their keys; the parts of a blend, lists and single values are taken whole. Every value keeps its place,
 * so a path stays relative to the file in which it is written.
 */
export const inherit = (base: LocatedMap, own: LocatedMap): LocatedMap => {
  const inherited = new Map(base.entries)
  inherited.delete('recipe')
  inherited.delete('base')
  return byName({ ...base, entries: inherited }, own, (name, under, over) => {
    if (name === 'groups') return each(under, over, group)
    if (name === 'deliver' || name === 'report') return each(under, over, replace)
    return over
  })
}

type Merge = (under: Located, over: Located) => Located

const replace: Merge = (_under, over) => over

/** Entries of both maps by name, the base's order first; where one of the two is no map, the recipe's value. */
const each = (under: Located, over: Located, merge: Merge): Located =>
  under.kind === 'map' && over.kind === 'map' ? byName(under, over, (_name, a, b) => merge(a, b)) : over

const byName = (
  under: LocatedMap,
  over: LocatedMap,
  merge: (name: string, under: Located, over: Located) => Located,
): LocatedMap => {
  const entries = new Map<string, LocatedEntry>(under.entries)
  for (const [name, entry] of over.entries) {
    const inherited = under.entries.get(name)
    const value = inherited === undefined ? entry.value : merge(name, inherited.value, entry.value)
    entries.set(name, { keyAt: entry.keyAt, value })
  }
  return { ...over, entries, incomplete: under.incomplete || over.incomplete }
}

const group: Merge = (under, over) =>
  under.kind === 'map' && over.kind === 'map'
    ? byName(under, over, (name, a, b) => {
        if (name === 'sources') return each(a, b, source)
        if (name === 'blends') return each(a, b, fields)
        return name === 'align' ? each(a, b, replace) : b
      })
    : over

const fields: Merge = (under, over) => each(under, over, replace)

/** A source may be just its file; a file, pieces and a group replace each other. */
const source: Merge = (under, over) => {
  const below = longForm(under)
  const above = longForm(over)
  if (below.kind !== 'map' || above.kind !== 'map') return over
  const entries = new Map(below.entries)
  for (const [key, replaced] of Object.entries(REPLACED)) {
    if (above.entries.has(key)) for (const name of replaced) entries.delete(name)
  }
  return each({ ...below, entries }, above, replace)
}

const REPLACED: Readonly<Record<string, readonly string[]>> = {
  file: ['group', 'pieces', 'fade'],
  pieces: ['group', 'file', 'slate'],
  group: ['file', 'pieces', 'fade', 'via', 'channel'],
}

const longForm = (located: Located): Located =>
  located.kind === 'scalar' && typeof located.value === 'string'
    ? {
        kind: 'map',
        at: located.at,
        entries: new Map([['file', { keyAt: located.at, value: located }]]),
        incomplete: false,
      }
    : located
