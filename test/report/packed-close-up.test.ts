import { expect, it } from 'vitest'
import type { CloseUp, CloseUpTrace } from '../../src/report/close-up/close-up.js'
import { packCloseUp, unpackCloseUp } from '../../src/report/close-up/packed-close-up.js'
import { seededRandom } from '../../src/signal/random.js'

const random = seededRandom('packed close-up')
const list = (points: number): number[] => Array.from({ length: points }, () => random() - 0.5)

const trace = (source: string, points: number): CloseUpTrace => ({
  source,
  file: `${source}.wav`,
  drawnGainDb: 3.1,
  polarity: 'inverted',
  shiftMs: -2.5,
  before: [0, -0, ...list(points - 2)],
  after: [1, ...list(points - 1)],
})

const view = (points: number) => ({
  sampleRateHz: 48000,
  attackSeconds: 1.5,
  fromMs: -4,
  stepMs: 0.1,
  scale: 0.5,
  traces: ['near', 'far', 'room'].map(source => trace(source, points)),
})

it('a close-up comes out of its packing to the last bit, keys in their order', () => {
  const found: CloseUp = { ...view(960), elsewhere: [view(240), view(240), view(3)] }
  const packed = packCloseUp(found)
  expect(packed.values).toHaveLength(2 * 3 * (960 + 240 + 240 + 3))
  const again = unpackCloseUp(structuredClone(packed))
  expect(again).toStrictEqual(found)
  expect(Object.is(again.traces[0]!.before[1], -0)).toBe(true)
  expect(JSON.stringify(again)).toBe(JSON.stringify(found))
})

it('so does one with a single view', () => {
  const found: CloseUp = { ...view(5), elsewhere: [] }
  expect(unpackCloseUp(packCloseUp(found))).toStrictEqual(found)
})
