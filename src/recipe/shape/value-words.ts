import type { ErrorObject } from 'ajv'
import type { FaultCode } from '../../terms/fault-codes.js'
import type { FaultDetail } from '../recipe-faults.js'

/** What is to be said of a value that does not fit. */
export interface ValueFault {
  readonly code: FaultCode
  readonly message: string
  readonly detail: FaultDetail
  /** The place is the key: the value is missing, or too much to point at. */
  readonly atKey: boolean
}

/** The words that would have been right, of all branches. */
export const wordsAllowed = (errors: readonly ErrorObject[]): readonly (string | number)[] =>
  errors.filter(error => error.keyword === 'enum').flatMap(error => error.schema as (string | number)[])

const TYPE_WORDS: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  integer: 'a whole number',
  boolean: 'true or false',
  object: 'a block of settings',
  array: 'a list',
}

/** What a value is, in words. */
export const typeName = (value: unknown): string => {
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'boolean') return `the truth value ${String(value)}`
  if (typeof value === 'number') return `the number ${value}`
  return TYPE_WORDS[typeof value] ?? 'nothing'
}

/** The words and types that would have been right, in words. */
export const expectedOf = (errors: readonly ErrorObject[]): string => {
  const types = errors
    .filter(error => error.keyword === 'type')
    .flatMap(error => error.schema as string | string[])
  const words = wordsAllowed(errors)
  const names = [...new Set(types.map(type => TYPE_WORDS[type] ?? type))]
  return [...(words.length > 0 ? [words.join(', ')] : []), ...names].join(', or ') || 'a value'
}
