import type { Located } from '../located.js'
import { textOf } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { type Quantity, type QuantityKind, quantityOf } from '../words/quantity.js'

/** The quantity at a place; null where there is none, or one of a wrong form, which the shape check has reported. */
export const quantityAt = (located: Located | undefined, kind: QuantityKind): Quantity | null => {
  const text = textOf(located)
  return text === undefined ? null : quantityOf(kind, text)
}

/** Reports a number outside its range. `shown`: the range in words with its unit. */
export const checkRange = (
  located: Located | undefined,
  value: number | null,
  range: { readonly from: number; readonly to: number; readonly shown: string },
  faults: RecipeFaults,
): void => {
  if (located === undefined || value === null || (value >= range.from && value <= range.to)) return
  faults.add('RECIPE_VALUE', `${textOf(located) ?? String(value)} is out of range`, located.at, {
    expected: range.shown,
    mend: 'check the number and its unit',
  })
}
