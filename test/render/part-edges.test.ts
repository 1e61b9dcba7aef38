import { describe, expect, test } from 'vitest'
import type { PlannedStem } from '../../src/decide/plan.js'
import type { EdgeFades } from '../../src/render/edge-fades.js'
import { fadedStretches, heardFrames, withoutFilter } from '../../src/render/part-edges.js'
import type { PartMotion } from '../../src/render/part-motion.js'
import type { SourceReader } from '../../src/wave/source-reader.js'

/* Which frames of a source are heard in a stem, and where its fades lie there: by hand. */

const moved = (atSamples: number, reachFrames = Number.isInteger(atSamples) ? 0 : 32): PartMotion =>
  ({ reachFrames, sourceFrameAt: (frame: number) => frame - atSamples }) as PartMotion

describe('frames of a source of 1000 that are heard in a stem of 600', () => {
  const heard = (atSamples: number) =>
    heardFrames(moved(atSamples), { facts: { frames: 1000 } } as SourceReader, { frames: 600 } as PlannedStem)

  test.each([
    ['from the start', 0, 0, 600],
    ['later: its own start, and as much less at the end', 100, 0, 500],
    ['earlier: what was before the start is cut', -150, 150, 750],
    ['earlier, to its own end', -700, 700, 1000],
    ['later by a fraction: whole frames within the stem', 0.25, 0, 599],
    ['earlier by a fraction', -0.25, 1, 600],
    ['the last frame alone', 599, 0, 1],
    ['after the stem: none', 700, 0, 0],
    ['before it: none', -1000, 1000, 1000],
  ] as const)('%s', (_, atSamples, start, end) => {
    expect(heard(atSamples)).toEqual([start, end])
  })
})

describe('where fades lie in the stem', () => {
  const fades = (fadesIn: boolean, fadesOut: boolean): EdgeFades => ({
    ...{ startFrame: 10, endFrame: 500, fadeFrames: 40 },
    ...{ fadesIn, fadesOut },
  })

  test('moved with the source, and cut at both ends of it', () => {
    expect(fadedStretches(fades(true, true), moved(5), 600)).toEqual([
      { start: 15, end: 55 },
      { start: 465, end: 505 },
    ])
    expect(fadedStretches(fades(true, false), moved(-30), 600)).toEqual([{ start: 0, end: 20 }])
    expect(fadedStretches(fades(false, true), moved(120), 600)).toEqual([{ start: 580, end: 600 }])
    expect(fadedStretches(fades(false, false), moved(5), 600)).toEqual([])
  })

  test('nowhere by themselves where a filter moves the source: all of that stem is dithered', () => {
    expect(fadedStretches(fades(true, true), moved(5.5), 600)).toEqual([])
    expect(withoutFilter(moved(5.5), [{ start: 1, end: 2 }])).toEqual([])
    expect(withoutFilter(moved(7), [{ start: 1, end: 2 }])).toEqual([{ start: 8, end: 9 }])
  })
})
