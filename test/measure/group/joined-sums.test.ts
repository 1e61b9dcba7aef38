import { expect, test } from 'vitest'
import { joinedPairs, onlyPairs } from '../../../src/measure/group/joined-sums.js'
import { fineGrid, runPass } from '../../../src/measure/group/passes.js'
import { referencePairs, tracesOf } from '../../../src/measure/group/traces.js'
import { inPlace } from '../../corpus/in-place.js'
import { pathsTask } from '../../corpus/paths-task.js'
import { whiteNoise } from '../../corpus/random.js'

const RATE = 8000

test('of pairs that were summed apart their cross-spectra are kept, and of the single traces nothing', async () => {
  const tracks = [0, 1, 2].map(i => whiteNoise(2 * RATE, `joined ${i}`))
  const task = pathsTask(tracks, RATE, 0.02)
  const traces = tracesOf(task)
  const summed = await runPass(task, inPlace(tracks.map(track => [track])), {
    grid: fineGrid(task),
    traces,
    pairs: referencePairs(traces, 0),
    shifts: [0, 0, 0],
    gates: [0, 0, 0],
  })
  const kept = onlyPairs(summed, ([, second]) => second === 2)
  expect(Object.keys(kept).sort()).toEqual(['edgeCross', 'foldCross', 'plan', 'votes'])
  expect(kept.plan).toEqual({ pairs: [[0, 2]] })
  const joined = joinedPairs(summed, [kept])
  expect(joined.plan.pairs).toEqual([
    [0, 1],
    [0, 2],
    [0, 2],
  ])
  expect(joined.foldCross[2]).toBe(summed.foldCross[1])
  expect(joined.autos).toBe(summed.autos)
})
