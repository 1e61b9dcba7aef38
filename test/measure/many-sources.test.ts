import { expect, test } from 'vitest'
import { pairOf } from '../../src/measure/group/gather.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { lotsOf } from '../../src/measure/group/passes.js'
import { inPlace } from '../corpus/in-place.js'
import { pathsTask } from '../corpus/paths-task.js'
import { whiteNoise } from '../corpus/random.js'
import { delayed } from '../corpus/spectrum.js'

const RATE = 8000

test('pairs that are summed apart give what they give together, to the last digit', async () => {
  const sound = whiteNoise(4 * RATE, 'many')
  const tracks: Float64Array[] = [0, 31.3, -12.7, 60.1, 5.5].map((lag, i) => {
    const noise = whiteNoise(4 * RATE, `many ${i}`)
    return delayed(sound, lag).map((value, n) => value + 0.3 * noise[n]!)
  })
  // One that has nothing to do with the others is looked for further off.
  tracks.push(whiteNoise(4 * RATE, 'stranger'))
  const task = pathsTask(tracks, RATE, 0.02)
  const provide = inPlace(tracks.map(track => [track]))
  const [together, apart] = [
    await measureTraces(task, provide, undefined, { traces: 8, direct: 16, others: 16 }),
    await measureTraces(task, provide, undefined, { traces: 2, direct: 2, others: 3 }),
  ]
  expect(apart.pairs).toEqual(together.pairs)
  expect(apart.pairs).toHaveLength(15)
  // The spectra of pairs without the reference are let go, unless a source has two sides to compare.
  expect(apart.gathered.plan.pairs).toEqual(together.gathered.plan.pairs.slice(0, 5))
  expect(apart.gathered.plan.tracked).toEqual(together.gathered.plan.tracked)
  expect(apart.gathered.blocks).toEqual(together.gathered.blocks)
  for (let pair = 0; pair < 5; pair++) {
    expect(pairOf(apart.gathered, pair).sums).toEqual(pairOf(together.gathered, pair).sums)
  }
  expect(Math.abs(apart.pairs[1]!.shiftSamples + apart.pairs[1]!.estimate!.lagSamples + 12.7)).toBeLessThan(
    0.05,
  )
})

test('lots hold all items in their order, fewer the longer the transform', () => {
  const items = Array.from({ length: 63 }, (_, i) => i)
  const lots = [8192, 16384, 65536, 262144].map(fftSize => lotsOf(items, { fftSize }))
  for (const lot of lots) expect(lot.flat()).toEqual(items)
  expect(lots.map(lot => lot.length)).toEqual([3, 5, 16, 16])
  expect(lotsOf([], { fftSize: 8192 })).toEqual([])
})
