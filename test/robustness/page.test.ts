import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { AREAS } from './areas.js'
import { beginningOf, robustnessPage } from './page.js'

const page = readFileSync('docs/robustness.md', 'utf8')
const cases = AREAS.flatMap(area => area.cases)

test('the page has one line for each case, in their order, and no others', () => {
  const lines = page.split('\n').filter(line => /^\| (?!input \|)/.test(line))
  expect(lines.map((line, i) => line.startsWith(beginningOf(cases[i]!)) || line)).toEqual(
    lines.map(() => true),
  )
  expect(lines).toHaveLength(cases.length)
  expect(cases.length).toBeGreaterThan(60)
})

test('the words around the tables are those of the script', () => {
  const lines = new Set(page.split('\n'))
  const words = robustnessPage(AREAS, new Map()).split('\n')
  expect(words.filter(line => !lines.has(line))).toEqual([])
})

test('no two cases are told in the same words', () => {
  const told = cases.map(beginningOf)
  expect(told.filter((line, i) => told.indexOf(line) !== i)).toEqual([])
})
