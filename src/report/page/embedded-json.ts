import { jsonParts } from '../text-parts.js'

const LESS_THAN = /</g

/** JSON that can stand inside a script element: no `<` in it, so nothing in a text can end the element or open a comment. */
export const embeddedJson = (value: unknown): string => JSON.stringify(value).replace(LESS_THAN, '\\u003c')

/** The same text piece by piece. */
export function* embeddedJsonParts(value: unknown): Generator<string> {
  for (const part of jsonParts(value, 0)) yield part.replace(LESS_THAN, '\\u003c')
}
