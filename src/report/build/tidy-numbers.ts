/**
 * A copy of plain data with numbers that JSON can hold and that compare: NaN and infinities become null (a level of digital silence),
 * −0 becomes 0. Arrays of any kind become lists; the order of keys stays. A list of numbers that are all as they should be is not copied: those of a
 * close-up of many sources are long.
 */
export const tidyNumbers = <T>(value: T): T => tidied(value) as T

const tidied = (value: unknown): unknown => {
  if (typeof value === 'number') return Number.isFinite(value) ? value + 0 : null
  if (Array.isArray(value)) return value.every(isTidyNumber) ? value : value.map(tidied)
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, tidied(inner)]))
  }
  return value
}

const isTidyNumber = (value: unknown): boolean => Number.isFinite(value) && !Object.is(value, -0)
