import { expect, test } from 'vitest'
import { fixed, signed } from '../../src/terms/figure-text.js'

test('people read a true minus sign, and no sign before nothing', () => {
  expect([-64.52, 0.04, -0.04, 3].map(value => fixed(value, 1))).toEqual(['\u221264.5', '0.0', '0.0', '3.0'])
  expect([-1.25, 1.25, -0.004, 0].map(value => signed(value, 2))).toEqual([
    '\u22121.25',
    '+1.25',
    '0.00',
    '0.00',
  ])
})
