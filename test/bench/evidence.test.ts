import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { row } from '../../scripts/evidence/claim.js'
import { claims } from '../../scripts/evidence/claims.js'
import { figureText } from '../../scripts/evidence/figures.js'
import { missingClaims, sectionText } from '../../scripts/evidence/page.js'

const told = (tell: 'furthest' | 'largest' | 'range' | 'count', values: number[], decimals = 2): string =>
  figureText(row('a', { tell, unit: 'dB', decimals }, '', '', '', ''), values)

test('figures are rounded so that nothing is told better than it was', () => {
  expect(told('furthest', [0.001, -0.0121])).toBe('0.02 dB')
  expect(told('largest', [-130.049, -150], 1)).toBe('−130.0 dB')
  expect(told('range', [-0.011, 0.011])).toBe('−0.02 … 0.02 dB')
  expect(told('furthest', [0.25])).toBe('0.25 dB')
  expect(told('count', [0, 1, 0])).toBe('1')
  expect(told('furthest', [-0])).toBe('0.00 dB')
})

test('every claim that README marks has its rows, and a mark without one is told', () => {
  const [readme, page] = [readFileSync('README.md', 'utf8'), readFileSync('docs/evidence.md', 'utf8')]
  expect(missingClaims(readme, page, claims)).toEqual([])
  expect(missingClaims(`${readme}<!-- evidence: wonders -->`, page, claims)).toEqual([
    'README marks "wonders", which has no claim',
  ])
  expect(missingClaims(readme.replace('<!-- evidence: tone -->', ''), page, claims)).toEqual([
    'README does not mark the claim "tone"',
  ])
  expect(
    missingClaims(readme, page.replace('| integrated loudness, cases 1 to 6 |', '| x |'), claims),
  ).toEqual(['docs/evidence.md has no row "ebu-loudness": npm run evidence'])
  expect(missingClaims(readme, '', claims)).toHaveLength(claims.length)
})

test('a row that no test noted is an error, not an empty cell', () => {
  expect(() => sectionText(claims[0]!, new Map())).toThrow('no test noted')
})
