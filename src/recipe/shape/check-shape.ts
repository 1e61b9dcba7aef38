import type { ErrorObject } from 'ajv'
import validate from '../generated/recipe-validator.js'
import { type Located, type LocatedMap, plainOf, textOf } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { pointedAt } from './pointer.js'
import { missingKeyFault, shapeFaultsAt } from './shape-faults.js'

/**
 * Checks a recipe, with what its base adds, against the schema and reports each place that fails once, in the engineer's words.
 * The schema asks for everything only of a recipe that has a song and no base, so that an editor lets a base and its heirs be.
 */
export const checkShape = (root: LocatedMap, faults: RecipeFaults): void => {
  const whole = new Map(root.entries)
  whole.delete('base')
  const plain = plainOf({ ...root, entries: whole }) as Record<string, unknown>
  const songless = !whole.has('song')
  if (songless) plain['song'] = 'none'
  const base = root.entries.get('base')
  if (base !== undefined) checkBase(base.value, faults)
  const fits = validate(plain)
  const byPlace = new Map<string, ErrorObject[]>(songless ? [['', []]] : [])
  for (const error of fits ? [] : (validate.errors ?? [])) {
    const list = byPlace.get(error.instancePath)
    if (list === undefined) byPlace.set(error.instancePath, [error])
    else list.push(error)
  }
  for (const [pointer, errors] of byPlace) {
    const pointed = pointedAt(root, pointer)
    // What was reported as broken stands as null in the value: the schema's complaint about it is no news.
    if (pointed.value.kind !== 'broken') shapeFaultsAt(pointed, errors, faults)
    if (pointer === '' && songless) missingKeyFault(pointed, 'song', errors, faults)
  }
}

const checkBase = (base: Located, faults: RecipeFaults): void => {
  if (base.kind === 'broken' || (typeof textOf(base) === 'string' && textOf(base) !== '')) return
  faults.add('RECIPE_TYPE', 'base is no path', base.at, {
    expected: 'a recipe, as a path relative to this file',
    mend: 'write  base: album.yaml  or remove the line',
  })
}
