import type { ErrorObject } from 'ajv'
import { plainOf } from '../located.js'
import { QUANTITIES, type QuantityKind } from '../words/quantity.js'
import { outOfBounds, outOfRange } from './out-of-bounds.js'
import type { Pointed } from './pointer.js'
import { type ValueFault, wordsAllowed } from './value-words.js'
import { emptyValue, wrongMoment, wrongPassage, wrongQuantity, wrongType, wrongWord } from './wrong-value.js'

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
  if (isMoment(fitting)) return wrongMoment(value)
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

const isMoment = (errors: readonly ErrorObject[]): boolean =>
  errors.some(error => error.schemaPath.startsWith('#/$defs/moment/'))
