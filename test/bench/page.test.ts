import { expect, test } from 'vitest'
import { withRows, withTable } from '../../bench/measuring/page.js'

const page = [
  'before',
  '',
  '<!-- measured: a -->',
  '',
  '| kind | value |',
  '|---|---|',
  '| x | 1 |',
  '',
  '<!-- end -->',
  '',
  'after',
].join('\n')

test('rows with the same first cells are put in place, new ones at the end, all else stays', () => {
  const after = withRows(page, 'a', 1, [
    ['x', '2'],
    ['y', '3'],
  ])
  expect(after).toBe(page.replace('| x | 1 |', '| x | 2 |\n| y | 3 |'))
  expect(withRows(after, 'a', 1, [['y', '4']])).toBe(after.replace('| y | 3 |', '| y | 4 |'))
  expect(() => withRows(page, 'b', 1, [])).toThrow('no table "b"')
})

test('a whole table takes the place of what was between its marks', () => {
  const after = withTable(page, 'a', '| other |\n|---|\n| 5 |\n')
  expect(after).toBe(page.replace('| kind | value |\n|---|---|\n| x | 1 |', '| other |\n|---|\n| 5 |'))
  expect(withTable(after, 'a', '| other |\n|---|\n| 5 |\n')).toBe(after)
  expect(withTable(page, 'b', 'x')).toBe(page)
})
