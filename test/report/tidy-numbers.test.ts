import { expect, it } from 'vitest'
import { tidyNumbers } from '../../src/report/build/tidy-numbers.js'

it('holds only numbers that JSON can hold, at any depth', () => {
  const told = {
    b: [1, Number.NaN, -0],
    a: { deep: [[Number.POSITIVE_INFINITY, 2.5], []] },
    text: 'NaN',
    none: null,
  }
  const tidy = tidyNumbers<unknown>(told)
  expect(tidy).toStrictEqual({ b: [1, null, 0], a: { deep: [[null, 2.5], []] }, text: 'NaN', none: null })
  expect(JSON.stringify(tidy)).toBe('{"b":[1,null,0],"a":{"deep":[[null,2.5],[]]},"text":"NaN","none":null}')
  expect(told.b[1]).toBeNaN()
})

it('hands a list of numbers on as it is where nothing is to be tidied', () => {
  const points = [0, 0.25, -1]
  expect(tidyNumbers({ points }).points).toBe(points)
  const texts = ['a']
  expect(tidyNumbers({ texts }).texts).toEqual(texts)
})
