/**
 * A copy of plain data with numbers that JSON can hold and that compare: NaN and infinities become null (a level of digital silence),
 * −0 becomes 0. Arrays of any kind become lists; the order of keys stays.
 */
export const tidyNumbers = <T>(value: T): T => tidied(value) as T

const tidied = (value: unknown): unknown => {
  if (typeof value === 'number') return Number.isFinite(value) ? value + 0 : null
  if (Array.isArray(value)) return value.map(tidied)
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, tidied(inner)]))
  }
  return value
}
