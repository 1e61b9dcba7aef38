import { expect, test } from 'vitest'
import { type Column, tableLines } from '../../src/cli/table.js'

const columns: Column[] = [
  { title: 'source', align: 'left', dropOrder: 0 },
  { title: 'file', align: 'left', dropOrder: 1 },
  { title: 'peak', align: 'right', dropOrder: 2 },
  { title: 'look at', align: 'left', dropOrder: 0 },
]
const rows = [
  ['piezo', 'audio/take-4/bass-piezo.wav', '−3.2', ''],
  ['bridge', 'audio/bridge.wav', '−12.0', 'clipped'],
]

test('columns are aligned, and nothing trails', () => {
  expect(tableLines(columns, rows, 80)).toEqual([
    'source  file                          peak  look at',
    'piezo   audio/take-4/bass-piezo.wav   −3.2',
    'bridge  audio/bridge.wav             −12.0  clipped',
  ])
})

test('where it is narrow, columns go in their order, and what has to stay stays', () => {
  expect(tableLines(columns, rows, 40)[2]).toBe('bridge  −12.0  clipped')
  expect(tableLines(columns, rows, 16)[2]).toBe('bridge  clipped')
  expect(tableLines(columns, rows, 5)[2]).toBe('bridge  clipped')
})

test('a column with nothing in it is left out', () => {
  expect(tableLines(columns, [rows[0]!], 80)[0]).toBe('source  file                         peak')
})
