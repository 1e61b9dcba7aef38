import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { chanceOf } from './chance.js'
import type { Target, Verdict } from './target.js'
import { TARGETS } from './targets.js'

/** Longer runs with other seeds: `npm run fuzz`. */
const SEED = 20_261_126
const INPUTS: Readonly<Record<string, number>> = {
  wave: 600,
  recipe: 200,
  lock: 60,
  report: 25,
  album: 200,
  cache: 150,
  sums: 200,
}

/** What a finding of a long run left: it stays mended. */
const CASES = join(import.meta.dirname, 'cases')

const casesOf = (name: string): string[] => readdirSync(CASES).filter(file => file.startsWith(`${name}-`))

/** An input may take so long on a busy machine; a hang ends in the time limit of the test. */
const LONGEST_MS = 20_000

test('every target has its share of inputs', () => {
  expect(Object.keys(INPUTS)).toEqual(Object.keys(TARGETS))
})

describe.each(Object.keys(TARGETS))('%s', name => {
  let target: Target | undefined
  const opened = async (): Promise<Target> => (target ??= await TARGETS[name]!())
  afterAll(() => target?.close())

  const tried = async (input: Uint8Array): Promise<Verdict> => {
    const began = performance.now()
    const verdict = await (await opened()).try(input)
    expect(performance.now() - began).toBeLessThan(LONGEST_MS)
    return verdict
  }

  test('inputs made by chance are read, or refused in words', async () => {
    const verdicts = { read: 0, refused: 0 }
    for (let index = 0; index < INPUTS[name]!; index++) {
      const input = (await opened()).make(chanceOf(SEED, index))
      try {
        verdicts[await tried(input)]++
      } catch (error) {
        throw new Error(`input ${index} of seed ${SEED}`, { cause: error })
      }
    }
    expect(verdicts.read + verdicts.refused).toBe(INPUTS[name])
    // The inputs are neither all whole nor all broken.
    expect(verdicts.read).toBeGreaterThan(INPUTS[name]! / 50)
    expect(verdicts.refused).toBeGreaterThan(INPUTS[name]! / 50)
  })

  test.each(casesOf(name))('%s, found before', async file => {
    await tried(readFileSync(join(CASES, file)))
  })
})

test('every case belongs to a target', () => {
  const known = Object.keys(TARGETS).flatMap(casesOf)
  expect(known.sort()).toEqual(readdirSync(CASES).sort())
  expect(known.length).toBeGreaterThan(0)
})
