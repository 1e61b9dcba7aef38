import { describe, expect, test } from 'vitest'
import { batchesOf } from '../../bench/mutants/batches.js'
import { mutated, told } from '../../bench/mutants/mutant.js'
import { mutantsOf } from '../../bench/mutants/mutants-of.js'
import { scoreText, shareBetween } from '../../bench/mutants/score.js'
import { reachedFrom } from '../../bench/mutants/tests-of.js'

const changes = (text: string): string[] =>
  mutantsOf('a.ts', text).map(mutant => `${mutant.kind}: ${mutated(text, mutant)}`)

describe('small changes of a source', () => {
  test('operators, signs and steps', () => {
    expect(changes('x = a - -b')).toEqual(['arithmetic: x = a + -b', 'sign: x = a - (b)'])
    expect(changes('a <= b')).toEqual(['relation: a < b', 'relation: a > b'])
    expect(changes('i++')).toEqual(['step: i--'])
    expect(changes('a += b ?? c')).toEqual(['assignment: a -= b ?? c', 'logic: a += b && c'])
  })

  test('texts are not added up, and an empty text is left alone', () => {
    expect(changes("'a' + b")).toEqual(["text: '' + b"])
    expect(changes("''")).toEqual([])
    expect(changes("x = { 'a-b': 'c' }")).toEqual(['object: x = {}', "text: x = { 'a-b': '' }"])
  })

  test('conditions, blocks and calls', () => {
    expect(changes('if (!a) { f() }')).toEqual([
      'condition: if (true) { f() }',
      'condition: if (false) { f() }',
      'not: if ((a)) { f() }',
      'block: if (!a) {}',
    ])
    expect(changes('f(x => x.some(g))')).toEqual(['block: f(x => undefined)', 'call: f(x => x.every(g))'])
    expect(changes('list.filter(f)')).toEqual(['call: list'])
  })

  test('none in types and imports', () => {
    expect(
      changes("import { a } from './a.js'\ntype T = 'x' | 'y'\ninterface I { readonly a: 'b' }"),
    ).toEqual([])
  })

  test('are told in a line, with their place', () => {
    const [mutant] = mutantsOf('src/a.ts', 'x =\n  a - b')
    expect(mutant).toMatchObject({ line: 2, start: 8, end: 9 })
    expect(told(mutant!)).toBe('src/a.ts:2 arithmetic: - → +')
  })
})

describe('a score of a sample', () => {
  // Wilson 1927, worked out apart: 8 of 10 at 95 % lies between 0.490 and 0.943.
  test('with the interval that it leaves open', () => {
    const [low, high] = shareBetween(8, 10)
    expect(low).toBeCloseTo(0.49, 3)
    expect(high).toBeCloseTo(0.943, 3)
    expect(shareBetween(0, 0)).toEqual([0, 1])
    expect(scoreText(170, 200)).toBe('170 of 200 (85 %; 95 % between 79 % and 89 %)')
  })
})

test('which files a test reads, through others', () => {
  const reached = reachedFrom('test/decide/limits.test.ts')
  expect(reached.has('src/decide/follow.ts')).toBe(true)
  expect(reached.has('src/decide/decide.ts')).toBe(true)
  expect(reached.has('src/report/report.ts')).toBe(false)
})

test('quick tests are run before slow ones are begun', () => {
  const times: Record<string, number> = { a: 1000, b: 2000, c: 1, d: 40_000, e: 1 }
  expect(batchesOf(['a', 'b', 'c', 'd', 'e'], file => times[file]!)).toEqual([['a', 'b'], ['c'], ['d', 'e']])
  expect(batchesOf(['d'], () => 40_000)).toEqual([['d']])
  expect(batchesOf([], () => 0)).toEqual([])
})
