import type { ErrorObject } from 'ajv'
import { expectedOf, type ValueFault } from './value-words.js'

/** A number beyond its limits. */
export const outOfRange = (name: string, value: number, error: ErrorObject): ValueFault => {
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

/** A text, a list or a block that is too short, too long, or holds characters that may not stand there. */
export const outOfBounds = (name: string, error: ErrorObject): ValueFault => {
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
        atKey: false,
      }
    case 'maxProperties':
    case 'maxItems':
      return {
        code: 'RECIPE_VALUE',
        message: `${name} has too many entries`,
        detail: { expected: `at most ${limit ?? 0}`, mend: 'remove some; is something copied by mistake?' },
        atKey: true,
      }
    default:
      return {
        code: 'RECIPE_VALUE',
        message: `${name} is too long`,
        detail: { expected: `at most ${limit ?? 0} characters`, mend: 'make it shorter' },
        atKey: false,
      }
  }
}
