import type { ErrorObject } from 'ajv'
import type { FaultCode } from '../../terms/fault-codes.js'
import { nearestOf } from '../../terms/nearest.js'
import { plainOf } from '../located.js'
import type { FaultDetail } from '../recipe-faults.js'
import { oneOf } from '../words/lists.js'
import { QUANTITIES, type QuantityKind, quantityMistake } from '../words/quantity.js'
import type { Pointed } from './pointer.js'

export interface ValueFault {
  readonly code: FaultCode
  readonly message: string
  readonly detail: FaultDetail
  /** The place is the key: the value is missing, or too much to point at. */
  readonly atKey: boolean
}

/** The one fault of a value: where several branches of the schema failed, that of the branch which the value's type asks for. */
export const valueFault = (pointed: Pointed, errors: readonly ErrorObject[]): ValueFault | null => {
  const value = plainOf(pointed.value)
  const fitting = withoutOtherBranches(value, errors)
  if (fitting.length === 0) return null
  const words = wordsAllowed(errors)
  const name = pointed.name === '' ? 'the recipe' : pointed.name

  if (value === null) return emptyValue(name, errors)
  const range = fitting.find(error => error.keyword === 'minimum' || error.keyword === 'maximum')
  if (range !== undefined) return outOfRange(name, value as number, range)
  const kind = quantityKind(fitting)
  const wordMeant = typeof value === 'string' && words.length > 0 && !/^\s*[+-]?[.,]?\d/.test(value)
  if (kind !== null && !wordMeant) return wrongQuantity(kind, value, fitting)
  if (isPassage(fitting) && !wordMeant) return wrongPassage(value)
  if (fitting.some(error => error.keyword === 'enum')) return wrongWord(name, value, words, kind)
  const type = fitting.find(error => error.keyword === 'type')
  if (type !== undefined) return wrongType(name, value, errors)
  return outOfBounds(name, fitting[0]!)
}

/** Without complaints of branches that are for values of another type, and without the summary "no branch fits". */
const withoutOtherBranches = (value: unknown, errors: readonly ErrorObject[]): readonly ErrorObject[] => {
  const branches = errors.find(error => error.keyword === 'anyOf')?.schema as readonly unknown[] | undefined
  const own = errors.filter(error => error.keyword !== 'anyOf')
  const typeErrors = own.filter(error => error.keyword === 'type')
  if (branches === undefined || typeErrors.length >= branches.length) return own
  const isScalar = value === null || typeof value !== 'object'
  return own.filter(error => error.keyword !== 'type' && (isScalar || error.keyword !== 'enum'))
}

const quantityKind = (errors: readonly ErrorObject[]): QuantityKind | null => {
  for (const error of errors) {
    const name = /#\/\$defs\/(\w+)\//.exec(error.schemaPath)?.[1]
    if (name !== undefined && Object.hasOwn(QUANTITIES, name)) return name as QuantityKind
  }
  return null
}

const isPassage = (errors: readonly ErrorObject[]): boolean =>
  errors.some(error => error.schemaPath.startsWith('#/$defs/passage/'))

const wordsAllowed = (errors: readonly ErrorObject[]): readonly (string | number)[] =>
  errors.filter(error => error.keyword === 'enum').flatMap(error => error.schema as (string | number)[])

const emptyValue = (name: string, errors: readonly ErrorObject[]): ValueFault => ({
  code: 'RECIPE_TYPE',
  message: `${name} has no value`,
  detail: { expected: expectedOf(errors), mend: 'write a value, or remove the line' },
  atKey: true,
})

const wrongQuantity = (kind: QuantityKind, value: unknown, errors: readonly ErrorObject[]): ValueFault => {
  const { message, expected, nearest } = quantityMistake(kind, value)
  const share = errors.some(error => error.schemaPath.includes('/parts/'))
  const words = wordsAllowed(errors)
  const others = share ? 'a share (a number), or ' : words.length > 0 ? `${words.join(', ')}, or ` : ''
  return {
    code: 'RECIPE_UNIT',
    message,
    detail: {
      expected: others + expected,
      nearest,
      mend: nearest === null ? 'give the number with its unit' : `write ${nearest}`,
    },
    atKey: typeof value === 'object',
  }
}

const wrongPassage = (value: unknown): ValueFault => ({
  code: 'RECIPE_PASSAGE',
  message: 'this is no stretch of time',
  detail: {
    expected: 'from-to in minutes:seconds, such as "0:12-0:20" or "1:02:03.5-1:02:40"',
    nearest: typeof value === 'string' ? passageMeant(value) : null,
    mend: 'write both times with a hyphen between them',
  },
  atKey: typeof value === 'object',
})

const passageMeant = (typed: string): string | null => {
  const meant = typed
    .trim()
    .replace(/\s*(?:[\u2012-\u2015\u2212]|\bto\b|\.\.+)\s*/u, '-')
    .replace(/,/g, '.')
  return meant !== typed && /^[\d:]+:[0-5]\d(\.\d+)?-[\d:]+:[0-5]\d(\.\d+)?$/.test(meant) ? meant : null
}

const wrongWord = (
  name: string,
  value: unknown,
  words: readonly (string | number)[],
  kind: QuantityKind | null,
): ValueFault => {
  const typed = scalarText(value)
  const same = words.find(word => String(word) === typed)
  const nearest =
    same ?? (typed === null || !/\p{L}/u.test(typed) ? null : nearestOf(typed, words.map(String)))
  const quantity =
    kind === null ? '' : `, or ${QUANTITIES[kind].article} such as "${QUANTITIES[kind].example}"`
  return {
    code: 'RECIPE_VALUE',
    message: typed === null ? `${name} is one word` : `${name} cannot be ${typed}`,
    detail: {
      expected: `${oneOf(words)}${quantity}`,
      nearest: nearest === null ? null : String(nearest),
      mend:
        same !== undefined
          ? 'write it without quotes'
          : nearest === null
            ? 'use one of these'
            : `write ${nearest}`,
    },
    atKey: typed === null,
  }
}

const wrongType = (name: string, value: unknown, errors: readonly ErrorObject[]): ValueFault => {
  const expected = expectedOf(errors)
  const typed = scalarText(value)
  const nearest = typed === null ? null : meantByType(typed, expected)
  return {
    code: 'RECIPE_TYPE',
    message: `${name} is ${typeName(value)}`,
    detail: {
      expected,
      nearest,
      mend: nearest?.startsWith('"')
        ? 'put it in quotes'
        : nearest !== null
          ? `write ${nearest}`
          : 'see docs/recipe.md',
    },
    atKey: typed === null,
  }
}

const scalarText = (value: unknown): string | null =>
  typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean' ? String(value) : null

/** What somebody may have meant: a number without its word, a truth value in its older spelling, a text without its quotes. */
const meantByType = (typed: string, expected: string): string | null => {
  if (expected === 'a number' || expected === 'a whole number') {
    return /^\s*(\d+(?:\.\d+)?)\s*\D*$/.exec(typed)?.[1] ?? null
  }
  if (expected === 'true or false') {
    if (/^(yes|y|on|1|"?true"?)$/i.test(typed)) return 'true'
    return /^(no|n|off|0|false)$/i.test(typed) ? 'false' : null
  }
  return expected === 'a text' ? `"${typed}"` : null
}

const outOfRange = (name: string, value: number, error: ErrorObject): ValueFault => {
  const { limit } = error.params as { limit: number }
  const share = error.schemaPath.includes('/parts/')
  return {
    code: 'RECIPE_VALUE',
    message: share && value < 0 ? 'a share below zero' : `${name} cannot be ${value}`,
    detail: {
      expected: `${error.keyword === 'minimum' ? 'at least' : 'at most'} ${limit}`,
      mend:
        share && value < 0
          ? 'to turn a source over, give the source  polarity: inverted'
          : 'choose a number in the range',
    },
    atKey: false,
  }
}

const outOfBounds = (name: string, error: ErrorObject): ValueFault => {
  const limit = (error.params as { limit?: number }).limit
  switch (error.keyword) {
    case 'minProperties':
    case 'minItems': {
      const blend = name === 'parts'
      return {
        code: blend ? 'RECIPE_BLEND_EMPTY' : 'RECIPE_MISSING_KEY',
        message: `${name} is empty`,
        detail: {
          expected: 'at least one entry',
          mend: blend ? 'name a source with its weight' : 'add one, or remove the line',
        },
        atKey: true,
      }
    }
    case 'minLength':
      return {
        code: 'RECIPE_VALUE',
        message: `${name} is an empty text`,
        detail: { expected: expectedOf([error]), mend: 'write the text' },
        atKey: false,
      }
    case 'pattern':
      return {
        code: 'RECIPE_VALUE',
        message: `${name} holds a line end or another control character`,
        detail: { expected: 'a text on one line', mend: 'write it on one line' },
        atKey: true,
      }
    default:
      return {
        code: 'RECIPE_VALUE',
        message: `${name} is too long`,
        detail: { expected: `at most ${limit ?? 0}`, mend: 'make it shorter' },
        atKey: true,
      }
  }
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  integer: 'a whole number',
  boolean: 'true or false',
  object: 'a block of settings',
  array: 'a list',
}

const typeName = (value: unknown): string => {
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'boolean') return `the truth value ${String(value)}`
  if (typeof value === 'number') return `the number ${value}`
  return TYPE_WORDS[typeof value] ?? 'nothing'
}

const expectedOf = (errors: readonly ErrorObject[]): string => {
  const types = errors
    .filter(error => error.keyword === 'type')
    .flatMap(error => error.schema as string | string[])
  const words = wordsAllowed(errors)
  const names = [...new Set(types.map(type => TYPE_WORDS[type] ?? type))]
  return [...(words.length > 0 ? [words.join(', ')] : []), ...names].join(', or ') || 'a value'
}
