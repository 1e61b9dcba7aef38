import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { PooledLag, PooledTake } from '../../src/measure/measurement.js'
import { pooledWords } from '../../src/report/words/pooled-words.js'

const take = (name: string, change: Partial<PooledTake> = {}): PooledTake => ({
  song: 'Lantern Street',
  take: name,
  isThis: false,
  state: 'pooled',
  lagSamples: 96.7,
  lagUncertaintySamples: 0.15,
  polarity: 'normal',
  differsSamples: 0,
  ...change,
})
const pool = (takes: readonly PooledTake[], change: Partial<PooledLag> = {}): PooledLag => ({
  lagSamples: 96.77,
  uncertaintySamples: 0.09,
  scatterSamples: 0,
  used: true,
  takes,
  ...change,
})
const others = [take('2'), take('3'), take('4', { state: 'odd', lagSamples: 86.8, differsSamples: -9.9 })]
const first = take('1', { isThis: true, lagSamples: 96.79, lagUncertaintySamples: 0.2 })

test('one lag from several takes is told as docs/pooled-takes.md shows it', () => {
  const words = pooledWords(pool([first, ...others]))
  const page = readFileSync(join(import.meta.dirname, '../../docs/pooled-takes.md'), 'utf8')
  expect(/^ {6}(one lag from .*)$/m.exec(page)?.[1]).toBe(words)
})

test.each<readonly [string, PooledLag | null, RegExp | null]>([
  ['nothing was pooled', null, null],
  [
    'this take is the odd one',
    pool([{ ...first, state: 'odd' }, take('2'), take('3')], { used: false }),
    /^its own lag; 2 takes \(2, 3\) say together \+96\.77 ± 0\.09 frames$/,
  ],
  [
    'this take is not sure: the line for the recipe stands there',
    pool([{ ...first, state: 'unsure' }, take('2'), take('3')], { used: false }),
    /^not sure by itself; .*, normal: if nothing was moved, state it \(lag: 96\.8 samples\)$/,
  ],
  [
    'no two are sure',
    pool([first, take('2', { state: 'unsure' })], {
      lagSamples: null,
      uncertaintySamples: null,
      used: false,
    }),
    /^its own lag: no two takes are sure by themselves \(2 takes\)$/,
  ],
  [
    'a take of another song goes by its name',
    pool([first, take('7', { song: 'Rope Walk' })]),
    /\(1, Rope Walk 7\)/,
  ],
])('%s', (_what, pooled, expected) => {
  if (expected === null) expect(pooledWords(pooled)).toBeNull()
  else expect(pooledWords(pooled)).toMatch(expected)
})
