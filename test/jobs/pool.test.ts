import { afterEach, expect, test } from 'vitest'
import { type Advance, type OpenPool, openPoolOf } from '../../src/jobs/pool/pool.js'
import { fault, SumwellError } from '../../src/terms/fault.js'
import { isInterrupted } from '../../src/terms/interrupted.js'
import type { testTasks } from './table.js'

interface Rooms {
  test: typeof testTasks
}

const opened: OpenPool<Rooms>[] = []
const open = (jobs: number, progress: (advance: Advance) => void = () => undefined) => {
  const abort = new AbortController()
  const module = new URL('./worker.ts', import.meta.url)
  const pool = openPoolOf<Rooms>(module, { jobs, progress, signal: abort.signal })
  opened.push(pool)
  return { pool, tasks: pool.rooms.test, abort }
}
afterEach(async () => {
  for (const pool of opened.splice(0)) await pool.close()
})

const errorFrom = async (promise: Promise<unknown>): Promise<SumwellError> => {
  const error: unknown = await promise.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  expect(error).toBeInstanceOf(SumwellError)
  return error as SumwellError
}

test('results stand in the order of the calls, whichever is done first', async () => {
  const { tasks } = open(2)
  const inputs = [60, 1, 30, 0, 10, 5]
  const results = await Promise.all(inputs.map(ms => tasks.doubleLate({ value: ms, ms })))
  expect(results).toEqual([120, 2, 60, 0, 20, 10])
})

test('one thread does the same', async () => {
  const { tasks } = open(1)
  expect(await Promise.all([1, 2, 3].map(value => tasks.double(value)))).toEqual([2, 4, 6])
})

test('whole arrays come over with their values, views of a part too, an array twice is one array', async () => {
  const { tasks } = open(1)
  const whole = await tasks.ramp({ frames: 5, part: false })
  expect(whole.channels[0]).toEqual(Float64Array.from([0, 1, 2, 3, 4]))
  expect(whole.twice).toBe(whole.channels[0])
  const part = await tasks.ramp({ frames: 5, part: true })
  expect(part.channels[0]).toEqual(Float64Array.from([1, 2]))
  expect(part.twice).toHaveLength(5)
})

test('all faults of a SumwellError cross the thread unchanged', async () => {
  const { tasks } = open(1)
  const error = await errorFrom(tasks.fail('bass.wav'))
  expect(error.faults).toEqual([
    fault('WAVE_NOT_WAVE', 'it is not a WAVE file', { file: 'bass.wav', mend: 'export it as WAVE' }),
    fault('WAVE_HEADER', 'no data', { file: 'bass.wav' }),
  ])
})

test('an error that is not ours becomes INTERNAL, with the stack of its thread as the cause', async () => {
  const { tasks } = open(1)
  const error = await errorFrom(tasks.bug(0))
  expect(error.faults.map(f => f.code)).toEqual(['INTERNAL'])
  expect(error.faults[0]?.message).toContain('test bug: cannot read 0')
  expect((error.cause as Error).message).toContain('table.ts')
})

test('what cannot be sent is a fault, and the thread goes on', async () => {
  const { tasks } = open(1)
  const out = await errorFrom(tasks.unsendable(0))
  const unsendableInput = (() => 1) as unknown as number
  const into = await errorFrom(tasks.double(unsendableInput))
  expect([out, into].map(e => e.faults[0]?.code)).toEqual(['INTERNAL', 'INTERNAL'])
  expect(await tasks.double(4)).toBe(8)
})

test.each(['die', 'dieLater'] as const)(
  'a thread that ends in the middle (%s) fails its own order only',
  async name => {
    const { tasks } = open(1)
    const doomed = errorFrom(tasks[name](7))
    const next = tasks.double(21)
    expect((await doomed).faults.map(f => f.code)).toEqual(['INTERNAL'])
    expect(await next).toBe(42)
  },
)

test('after an abort what runs sees it, what waits is refused, and nothing new starts', async () => {
  const { tasks, abort } = open(2)
  const started = ['a', 'b', 'c', 'd'].map(file => errorFrom(tasks.untilAborted(file)))
  setTimeout(() => {
    abort.abort()
  }, 50)
  const errors = await Promise.all(started)
  expect(errors.filter(isInterrupted)).toHaveLength(4)
  expect(isInterrupted(await errorFrom(tasks.double(1)))).toBe(true)
})

test('stop ends what runs, and the pool works again afterwards', async () => {
  const { pool, tasks } = open(1)
  const long = errorFrom(tasks.untilAborted('long'))
  await pool.stop()
  expect(isInterrupted(await long)).toBe(true)
  expect(await tasks.double(3)).toBe(6)
})

test('progress: few messages, and no second of audio is lost', async () => {
  const advances: Advance[] = []
  const { tasks } = open(1, advance => advances.push(advance))
  await tasks.advanceOften(10_000)
  expect(advances.reduce((sum, a) => sum + a.audioSeconds, 0)).toBe(2500)
  expect(advances.length).toBeLessThan(100)
  expect(advances[0]).toMatchObject({ room: 'test', task: 'advanceOften' })
})

test('the rooms can be awaited: they are no promises', async () => {
  const { tasks } = open(1)
  const awaited = await Promise.resolve(tasks)
  expect(await awaited.double(2)).toBe(4)
})

test('after a rest, also while others work, the pool goes on in new threads', async () => {
  const { pool, tasks } = open(2)
  const busy = tasks.doubleLate({ value: 4, ms: 60 })
  expect(await tasks.double(1)).toBe(2)
  await pool.rest()
  expect(await tasks.double(3)).toBe(6)
  expect(await busy).toBe(8)
  await pool.rest()
  expect(await tasks.double(5)).toBe(10)
})

test('one part of the work is stopped without the others, and can go on afterwards', async () => {
  const { pool, tasks } = open(2)
  const told: number[] = []
  const part = pool.part(({ audioSeconds }) => {
    told.push(audioSeconds)
  })
  const own = [40, 40, 40, 40].map(ms => part.rooms.test.doubleLate({ value: 1, ms }))
  const others = [40, 40].map(ms => tasks.doubleLate({ value: 2, ms }))
  const settled = Promise.allSettled(own)
  await part.stop()
  expect(await Promise.all(others)).toEqual([4, 4])
  const kinds = (await settled).map(one =>
    one.status === 'rejected' ? isInterrupted(one.reason) : one.value,
  )
  expect(kinds.slice(-1)).toEqual([true])
  expect(kinds.filter(one => one === true).length).toBeGreaterThan(0)
  expect(await part.rooms.test.double(3)).toBe(6)
})
