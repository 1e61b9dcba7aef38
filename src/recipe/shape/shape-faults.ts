import type { ErrorObject } from 'ajv'
import { nearestOf } from '../../terms/nearest.js'
import type { Span } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { oneOf } from '../words/lists.js'
import type { Pointed } from './pointer.js'
import { valueFault } from './value-fault.js'

/** Turns what the validator says about one place into faults: strangers and missing keys each by itself, else one for the value. */
export const shapeFaultsAt = (
  pointed: Pointed,
  errors: readonly ErrorObject[],
  faults: RecipeFaults,
): void => {
  const rest: ErrorObject[] = []
  const eitherKey = errors.some(error => isEitherKey(error))
  let eitherTold = false
  for (const error of errors) {
    if (error.propertyName !== undefined || error.keyword === 'propertyNames')
      badNameFault(pointed, error, faults)
    else if (error.keyword === 'additionalProperties') unknownKeyFault(pointed, error, faults)
    else if (error.keyword === 'false schema') strangerFault(pointed, error, faults)
    else if (error.keyword === 'required') {
      if (!eitherKey) missingKeyFault(pointed, missingOf(error), errors, faults)
      else if (!eitherTold) {
        eitherTold = true
        eitherKeyFault(pointed, errors, faults)
      }
    } else if (error.keyword === 'minProperties' && isIncomplete(pointed)) continue
    else if (!isEitherKey(error) && error.keyword !== 'if') rest.push(error)
  }
  const told = valueFault(pointed, rest)
  if (told !== null)
    faults.add(told.code, told.message, told.atKey ? placeOfMap(pointed) : pointed.value.at, told.detail)
}

/** An `anyOf` whose branches each require one key: "give file or group". */
const isEitherKey = (error: ErrorObject): boolean =>
  error.keyword === 'anyOf' &&
  (error.schema as readonly { required?: unknown }[]).every(branch => branch.required !== undefined)

const placeOfMap = (pointed: Pointed): Span =>
  pointed.keyAt ?? { ...pointed.value.at, end: Math.min(pointed.value.at.start + 1, pointed.value.at.end) }

const allowedKeys = (error: ErrorObject): readonly string[] =>
  Object.keys((error.parentSchema as { properties?: object }).properties ?? {})

const unknownKeyFault = (pointed: Pointed, error: ErrorObject, faults: RecipeFaults): void => {
  const typed = strangerOf(error)
  const entry = pointed.value.kind === 'map' ? pointed.value.entries.get(typed) : undefined
  const at = entry?.keyAt ?? pointed.value.at
  const allowed = allowedKeys(error)
  if (/^[\w-]+:\S/.test(typed)) {
    faults.add('RECIPE_UNKNOWN_KEY', `the space after the colon is missing in ${typed}`, at, {
      nearest: typed.replace(/:/, ': '),
      mend: 'write  key: value  with a space after the colon',
    })
    return
  }
  const nearest = nearestOf(typed, allowed)
  const where = pointed.name === '' ? 'a recipe' : pointed.name
  faults.add('RECIPE_UNKNOWN_KEY', `${where} has no key ${typed}`, at, {
    expected: oneOf(allowed),
    nearest,
    mend: nearest === null ? 'remove it, or use one of these' : `write ${nearest}`,
  })
}

/** A key that cannot stand beside group: or pieces:, which the schema's path names. */
const strangerFault = (pointed: Pointed, error: ErrorObject, faults: RecipeFaults): void => {
  const besidePieces = error.schemaPath.includes('/pieces/') && pointed.name === 'file'
  const besideGroup = error.schemaPath.includes('/group/')
  const beside = besideGroup ? 'group' : 'pieces'
  faults.add(
    'RECIPE_UNKNOWN_KEY',
    `${pointed.name} cannot stand beside ${beside}`,
    pointed.keyAt ?? pointed.value.at,
    {
      expected: besideGroup ? 'a file with its settings, or a group' : 'a file, or pieces with their files',
      mend: besideGroup
        ? `remove ${pointed.name}: the sources of that group have their own`
        : besidePieces
          ? 'remove file:, or name it as the first of the pieces'
          : `remove ${pointed.name}: it is for a source that is one file`,
    },
  )
}

/** Reports a key that has to be there, unless it is there in another spelling: that is told as an unknown key. */
export const missingKeyFault = (
  pointed: Pointed,
  missing: string,
  errors: readonly ErrorObject[],
  faults: RecipeFaults,
): void => {
  if (isIncomplete(pointed) || misspelt([missing], errors)) return
  const where = pointed.name === '' ? 'the recipe' : pointed.name
  faults.add('RECIPE_MISSING_KEY', `${where} has no ${missing}:`, placeOfMap(pointed), {
    expected: EXAMPLES[missing] ?? missing,
    mend:
      missing === 'song' ? 'add song:, or render the recipes that inherit from this one' : `add ${missing}:`,
  })
}

const isIncomplete = ({ value }: Pointed): boolean => value.kind === 'map' && value.incomplete

const missingOf = (error: ErrorObject): string =>
  (error.params as { missingProperty: string }).missingProperty

const misspelt = (missing: readonly string[], errors: readonly ErrorObject[]): boolean =>
  errors
    .filter(error => error.keyword === 'additionalProperties')
    .some(error =>
      missing.includes(nearestOf(strangerOf(error).replace(/:.*/, ''), allowedKeys(error)) ?? ''),
    )

const strangerOf = (error: ErrorObject): string =>
  (error.params as { additionalProperty: string }).additionalProperty

/** How the keys that must be there are written. */
const EXAMPLES: Readonly<Record<string, string>> = {
  recipe: 'recipe: 1',
  song: 'song: Lantern Street',
  groups: 'groups:  with a group under a name of its own',
  reference: 'reference: and the name of one of the sources',
  sources: 'sources:  with a file for each name',
  parts: 'parts: { piezo: 55, bridge: 45 }',
}

const eitherKeyFault = (pointed: Pointed, errors: readonly ErrorObject[], faults: RecipeFaults): void => {
  const keys = errors.filter(error => error.keyword === 'required').map(missingOf)
  if (isIncomplete(pointed) || misspelt(keys, errors)) return
  faults.add(
    'RECIPE_MISSING_KEY',
    `${pointed.name} has neither ${keys.join(': nor ')}:`,
    placeOfMap(pointed),
    {
      expected:
        'file: and the path of a recording, pieces: and a list of them, or group: and the name of a group',
      mend: 'add file:',
    },
  )
}

const badNameFault = (pointed: Pointed, error: ErrorObject, faults: RecipeFaults): void => {
  if (error.keyword !== 'propertyNames') return
  const typed = (error.params as { propertyName: string }).propertyName
  const entry = pointed.value.kind === 'map' ? pointed.value.entries.get(typed) : undefined
  const cleaned = typed
    .replace(/[^\p{L}\p{M}\p{N} _.+-]+/gu, '-')
    .replace(/^[^\p{L}\p{N}]+|[ -]+$/gu, '')
    .slice(0, 64)
  faults.add(
    'RECIPE_KEY',
    `${typed === '' ? 'an empty text' : typed} cannot be a name`,
    entry?.keyAt ?? pointed.value.at,
    {
      expected: 'a letter or digit first; then letters, digits, spaces, and _ . + - ; at most 64',
      nearest: cleaned === '' ? null : cleaned,
      mend: 'choose another name',
    },
  )
}
