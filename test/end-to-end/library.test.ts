import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import type * as Sumwell from '../../src/index.js'
import { makeSong, type Song, TRUTH } from './setting/song.js'
import { expectFreshBuild, hashesUnder, root } from './setting/sumwell.js'

const library = (await import(join(root, 'dist/index.js'))) as typeof Sumwell
const { check, measure, plan, render, report, SumwellError } = library

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(2)
})
afterAll(() => {
  song.remove()
})

test('one function per step, each returns what it found; nothing is printed', async () => {
  const out = vi.spyOn(process.stdout, 'write')
  const err = vi.spyOn(process.stderr, 'write')
  const stages: string[] = []
  let audioSeconds = 0
  const progress: Sumwell.Progress = {
    stage: ({ doing }) => stages.push(doing),
    advance: seconds => {
      audioSeconds += seconds
    },
    end: () => stages.push('end'),
  }
  const checked = await check(song.recipe)
  const measured = await measure(song.recipe, { jobs: 1 })
  const planned = await plan(song.recipe)
  const before = hashesUnder(song.folder)
  expect(Object.keys(before)).toHaveLength(6)
  const rendered = await render(song.recipe, { progress, audio: false })

  const sources = measured.groups.flatMap(group => group.sources)
  expect(sources.find(s => s.name === 'bottom')).toMatchObject({
    polarity: TRUTH.bottom.polarity,
    verdict: 'sure',
  })
  expect(checked.groups.flatMap(g => g.sources.map(s => s.sha256))).toEqual(sources.map(s => s.sha256))
  expect(rendered.plan).toEqual(planned.plan)
  expect(rendered.rendered.map(stem => stem.sha256)).toEqual(
    planned.plan.stems.map(({ fileName }) => hashesUnder(join(song.folder, 'stems'))[fileName]),
  )
  // Compared as a truth value: a difference would print the whole page.
  expect(report(rendered.report).page === readFileSync(rendered.written.page, 'utf8')).toBe(true)
  expect(stages).toEqual([
    'measuring',
    'planning',
    'rendering',
    'comparing the tone',
    'writing the report',
    'end',
  ])
  expect(audioSeconds).toBeGreaterThan(3 * 5 * 3)
  expect([out.mock.calls, err.mock.calls]).toEqual([[], []])
  vi.restoreAllMocks()
})

test('a wrong recipe and an aborted run are SumwellErrors with their faults', async () => {
  const absent = await check(join(song.folder, 'absent.yaml')).catch((error: unknown) => error)
  expect(absent).toBeInstanceOf(SumwellError)
  expect((absent as Sumwell.SumwellError).faults.map(f => f.code)).toEqual(['RECIPE_UNREADABLE'])
  const abort = new AbortController()
  const progress: Sumwell.Progress = {
    stage: () => {
      abort.abort()
    },
    advance: () => undefined,
    end: () => undefined,
  }
  const stopped = await measure(song.recipe, { signal: abort.signal, progress }).catch(
    (error: unknown) => error,
  )
  expect((stopped as Sumwell.SumwellError).faults.map(f => f.code)).toEqual(['INTERRUPTED'])
})
