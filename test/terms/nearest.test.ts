import { expect, test } from 'vitest'
import { nearestOf } from '../../src/terms/nearest.js'

const KEYS = ['temperature', 'tempo', 'take', 'song', 'as-recorded', 'upright-bass', 'pickup']

test.each([
  ['tempreature', 'temperature'],
  ['Temperature', 'temperature'],
  ['temp', 'tempo'],
  ['tkae', 'take'],
  ['sogn', 'song'],
  ['as_recorded', 'as-recorded'],
  ['asrecorded', 'as-recorded'],
  ['upright bas', 'upright-bass'],
  ['pikup', 'pickup'],
])('%s is most likely %s', (typed, meant) => {
  expect(nearestOf(typed, KEYS)).toBe(meant)
})

test.each(['x', 'reference', 'zzzz', '', '---', 'a'.repeat(5000)])('%s is near to nothing', typed => {
  expect(nearestOf(typed, KEYS)).toBeNull()
})

test('of two equally near, the first of the list', () => {
  expect(nearestOf('bx', ['bb', 'bc'])).toBe('bb')
  expect(nearestOf('bx', [])).toBeNull()
})
