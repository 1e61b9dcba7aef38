import { describe, expect, it } from 'vitest'
import { blindResult, chanceOfAtLeast, TURNS } from '../../src/report/listen/blind-test.js'

describe('the blind test', () => {
  // By counting: 12 turns have 4096 outcomes; with 12, 11, 10, 9 right there are 1, 12, 66, 220 of them.
  it.each([
    [12, 1 / 4096],
    [11, 13 / 4096],
    [10, 79 / 4096],
    [9, 299 / 4096],
    [6, 2510 / 4096],
    [0, 1],
  ])('%i or more right of twelve by guessing', (hits, chance) => {
    expect(chanceOfAtLeast(hits, TURNS)).toBeCloseTo(chance, 12)
  })

  it('claims no more than was shown', () => {
    expect(blindResult('which', 10, TURNS)).toBe(
      '10 of 12 right. By guessing alone, 10 or more happen in 2 % of such tests. You can tell them apart here.',
    )
    expect(blindResult('which', 9, TURNS)).toContain('no proof')
    expect(blindResult('which', 0, TURNS)).toContain('in 100 % of such tests. That is no proof')
    expect(blindResult('prefer', 9, TURNS)).toContain(
      'happens in 15 % of such tests. That is no clear preference.',
    )
    expect(blindResult('prefer', 1, TURNS)).toContain(
      '0.6 % of such tests. You prefer the one as recorded here.',
    )
    expect(blindResult('prefer', 6, TURNS)).toContain('100 %')
  })
})
