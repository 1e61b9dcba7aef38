import type { ErrorObject } from 'ajv'
import { nearestOf } from '../../terms/nearest.js'
import { oneOf } from '../words/lists.js'
import { QUANTITIES, type QuantityKind, quantityMistake } from '../words/quantity.js'
import { expectedOf, typeName, type ValueFault, wordsAllowed } from './value-words.js'

/** A key without a value. */
export const emptyValue = (name: string, errors: readonly ErrorObject[]): ValueFault => ({
  code: 'RECIPE_TYPE',
  message: `${name} has no value`,
  detail: { expected: expectedOf(errors), mend: 'write a value, or remove the line' },
  atKey: true,
})

/** A quantity without its unit, or with a wrong one. */
export const wrongQuantity = (
  kind: QuantityKind,
  value: unknown,
  errors: readonly ErrorObject[],
): ValueFault => {
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

/** A stretch of time in another form. */
export const wrongPassage = (value: unknown): ValueFault => ({
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

/** A moment in another form: a bare number, or no time at all. */
export const wrongMoment = (value: unknown): ValueFault => {
  const nearest =
    typeof value === 'number' && Number.isFinite(value) && value >= 0
      ? `${value} s`
      : typeof value === 'string' && /^\s*\d+:[0-5]\d[.,]\d+\s*$/.test(value)
        ? value.trim().replace(',', '.')
        : null
  return {
    code: 'RECIPE_UNIT',
    message: typeof value === 'number' ? `${value} has no unit` : 'this is no moment',
    detail: {
      expected: 'minutes:seconds such as "1:12.5", or a number with its unit such as "72.5 s"',
      nearest,
      mend: nearest === null ? 'give the time in one of these ways' : `write ${nearest}`,
    },
    atKey: typeof value === 'object',
  }
}

/** A word that is not among the allowed ones. */
export const wrongWord = (
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

/** A value of another type. */
export const wrongType = (name: string, value: unknown, errors: readonly ErrorObject[]): ValueFault => {
  const expected = expectedOf(errors)
  const typed = scalarText(value)
  if (typed !== null && /number/.test(expected) && isUnbounded(typed))
    return {
      code: 'RECIPE_TYPE',
      message: `${name} is not a finite number`,
      detail: { expected, mend: 'write a number in plain digits' },
      atKey: false,
    }
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

/** A number of YAML (1.2, the core schema) that no finite value can hold, or the words for infinite and for not a number. */
const isUnbounded = (typed: string): boolean =>
  /^(?:[-+]?\.inf|\.nan)$/i.test(typed) ||
  (/^[-+]?(?:\.\d+|\d+(?:\.\d*)?)(?:e[-+]?\d+)?$/i.test(typed) && !Number.isFinite(Number(typed)))

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
