import { describe, expect, it } from 'vitest'
import { inLargerParts, jsonParts } from '../../src/report/text-parts.js'
import { lanternReport } from './fixture.js'

/** Nested to a depth of eight, with every kind of value that a report may hold. */
const nested = (depth: number): unknown => ({
  text: 'a "quoted" <name> [\n 1,\n 2\n] ü',
  none: null,
  left: undefined,
  numbers: [1, -0, 2.5e-7, null, true],
  empty: [],
  nothing: {},
  mixed: [1, 'two', [], {}, [3, [4]]],
  '7': depth,
  ...(depth === 0 ? {} : { inner: [nested(depth - 1), { again: nested(depth - 1) }] }),
})

// A list without a quote or another bracket in it, spread over lines, as one line.
const numbersOnOneLine = (text: string): string =>
  text.replace(/\[\n[^[\]{}"]*\]/g, list => list.replace(/\s+/g, ''))

const VALUES: readonly unknown[] = [nested(4), lanternReport(), [], {}, null, 'x', [[]], [[1, 2], ['a']]]

describe('text piece by piece', () => {
  it('is the JSON of the platform, to the last character', () => {
    let characters = 0
    for (const value of VALUES) {
      const text = [...jsonParts(value, 0)].join('')
      expect(text).toBe(JSON.stringify(value))
      expect([...jsonParts(value, 2)].join('')).toBe(numbersOnOneLine(JSON.stringify(value, null, 2)))
      characters += text.length
    }
    expect(characters).toBeGreaterThan(50_000)
  })

  it('comes in parts of a bounded size, none lost', () => {
    const parts = Array.from({ length: 40_000 }, (_, i) => `${i},`)
    const larger = [...inLargerParts(parts)]
    expect(larger.join('')).toBe(parts.join(''))
    expect(larger.length).toBeGreaterThan(2)
    expect(larger.length).toBeLessThan(6)
    for (const part of larger) expect(part.length).toBeLessThan(66_000)
  })
})
