import { expect, test } from 'vitest'
import { MiddleOfFew } from '../../src/signal/middle-of-few.js'
import { seededRandom } from '../../src/signal/random.js'
import { median } from '../../src/signal/statistics.js'

test('the median of any short stretch is that of the sorted values', () => {
  const random = seededRandom('few')
  const few = new MiddleOfFew(64)
  let compared = 0
  for (let trial = 0; trial < 3000; trial++) {
    const count = 1 + Math.floor(random() * 64)
    const from = Math.floor(random() * 5)
    // Many alike in every third.
    const values = Float64Array.from({ length: 80 }, () => {
      const value = random()
      return trial % 3 === 0 ? Math.floor(4 * value) : value
    })
    expect(few.median(values, from, from + count)).toBe(median(values.subarray(from, from + count)))
    compared++
  }
  expect(compared).toBe(3000)
  expect(few.median(new Float64Array(3), 2, 2)).toBeNaN()
  expect(() => few.median(new Float64Array(80), 0, 65)).toThrow(RangeError)
})
