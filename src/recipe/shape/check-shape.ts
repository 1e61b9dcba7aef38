import type { ErrorObject } from 'ajv'
import validate from '../generated/recipe-validator.js'
import { type Located, plainOf } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { pointedAt } from './pointer.js'
import { shapeFaultsAt } from './shape-faults.js'

/** Checks a recipe against the schema and reports each place that fails once, in the engineer's words. */
export const checkShape = (root: Located, faults: RecipeFaults): void => {
  if (validate(plainOf(root))) return
  const byPlace = new Map<string, ErrorObject[]>()
  for (const error of validate.errors ?? []) {
    const list = byPlace.get(error.instancePath)
    if (list === undefined) byPlace.set(error.instancePath, [error])
    else list.push(error)
  }
  for (const [pointer, errors] of byPlace) {
    const pointed = pointedAt(root, pointer)
    // What was reported as broken stands as null in the value: the schema's complaint about it is no news.
    if (pointed.value.kind !== 'broken') shapeFaultsAt(pointed, errors, faults)
  }
}
