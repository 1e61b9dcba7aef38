/** `{take}` and its like in a text of the recipe. */
const PLACEHOLDER = /\{([^{}]*)\}/g

/** Words that stand in braces, with their offsets in the text. */
export const placeholdersIn = (text: string): readonly { readonly word: string; readonly index: number }[] =>
  [...text.matchAll(PLACEHOLDER)].map(match => ({ word: match[1]!, index: match.index }))

/** The text with each known word in braces replaced; unknown ones stay as they are. */
export const fillIn = (text: string, values: ReadonlyMap<string, string>): string =>
  text.replace(PLACEHOLDER, (whole, word: string) => values.get(word) ?? whole)
