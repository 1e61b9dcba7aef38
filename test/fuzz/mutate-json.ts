import type { Chance } from './chance.js'

type Json = null | boolean | number | string | Json[] | { [key: string]: Json }

const NUMBERS = [0, -0, 1, -1, 0.5, 1e-320, 1e15, 1e308, -1e308, 2 ** 31, 2 ** 53, 100_000, 3.7]
const TEXTS = [
  '',
  ' ',
  'x',
  '__proto__',
  'constructor',
  '../../x',
  '/etc/passwd',
  'a/b',
  '</script><script>',
  '\u202e',
  '\u001b[31m',
  '\ud800',
  'line\nbreak',
  '|',
  'x'.repeat(5000),
  '2026-13-99T99:99:99Z',
]
const OTHERS: readonly Json[] = [null, true, [], {}, [[]], '', 0]

interface Place {
  readonly holder: Json[] | { [key: string]: Json }
  readonly key: string
}

const isHolder = (value: Json | undefined): value is Place['holder'] =>
  typeof value === 'object' && value !== null

const valueAt = ({ holder, key }: Place): Json => (holder as { [key: string]: Json | undefined })[key] ?? null
const put = ({ holder, key }: Place, value: Json): void => {
  Object.defineProperty(holder, key, { value, writable: true, enumerable: true, configurable: true })
}

/** A random walk down, so that places near the root and deep ones are both met. */
const somePlace = (root: Place['holder'], chance: Chance): Place | null => {
  let holder = root
  for (;;) {
    const keys = Object.keys(holder)
    if (keys.length === 0) return null
    const place = { holder, key: chance.pick(keys) }
    const value = valueAt(place)
    if (!isHolder(value) || chance.once(6)) return place
    if (Object.keys(value).length === 0) return place
    holder = value
  }
}

const sameKind = (value: Json, chance: Chance): Json => {
  if (typeof value === 'number')
    return chance.once(3) ? value * chance.pick([-1, 2, 1e6, 0.1]) : chance.pick(NUMBERS)
  if (typeof value === 'string') return chance.pick(TEXTS)
  if (typeof value === 'boolean') return !value
  if (Array.isArray(value)) {
    const cut = value.slice(0, chance.below(value.length + 1))
    return chance.pick<Json[]>([[], cut, [...value, ...cut], [...value].reverse()])
  }
  return null
}

/**
 * A copy of a document with a few changes. Half of them keep the kind of the value, so that the schema lets them pass and what comes after it
 * is met; the others exchange, remove, double or rename.
 */
export const mutatedJson = (original: unknown, chance: Chance, mostChanges: number): unknown => {
  const holder = { root: structuredClone(original) as Json }
  for (let change = chance.below(mostChanges); change >= 0; change--) {
    if (!isHolder(holder.root)) break
    const place = somePlace(holder.root, chance)
    const other = somePlace(holder.root, chance)
    if (place === null || other === null) break
    const value = valueAt(place)
    switch (chance.below(8)) {
      case 0:
        put(place, chance.pick(OTHERS))
        break
      case 1:
        put(place, structuredClone(valueAt(other)))
        break
      case 2:
        if (Array.isArray(place.holder)) place.holder.splice(Number(place.key), 1)
        else Reflect.deleteProperty(place.holder, place.key)
        break
      case 3:
        if (Array.isArray(place.holder)) place.holder.splice(Number(place.key), 0, structuredClone(value))
        else put({ holder: place.holder, key: chance.pick(TEXTS) }, structuredClone(value))
        break
      default:
        put(place, sameKind(value, chance))
    }
  }
  return holder.root
}
