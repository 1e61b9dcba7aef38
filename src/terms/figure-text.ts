/** For people; a recipe is typed with a plain hyphen. */
export const MINUS = '\u2212'

/** A number as people read it, with so many decimals and a true minus sign; what rounds to zero has none. */
export const fixed = (value: number, places: number): string => {
  const text = value.toFixed(places)
  const isZero = Number(text) === 0
  return isZero ? (0).toFixed(places) : text.replace('-', MINUS)
}

/** With its sign, also the plus; a value that rounds to zero has none. */
export const signed = (value: number, places: number): string => {
  const text = fixed(value, places)
  return Number(value.toFixed(places)) > 0 ? `+${text}` : text
}
