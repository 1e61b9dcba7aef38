import { asSumwellError } from '../../terms/internal.js'
import { interrupted } from '../../terms/interrupted.js'
import type { Pooled } from '../../terms/task.js'
import { Lane } from './lane.js'
import type { Order } from './messages.js'

/** So many more seconds of audio were worked through by a task of that room. */
export interface Advance {
  readonly room: string
  readonly task: string
  readonly audioSeconds: number
}

export interface PoolOptions {
  /** Threads at most, 1 or more. Also with 1 the work runs in another thread, so that an interrupt is heard at once. */
  readonly jobs: number
  readonly progress: (advance: Advance) => void
  /** When it aborts, what waits is refused and what runs sees `context.aborted`. */
  readonly signal: AbortSignal
}

/** The rooms' task tables as promises, `pool.rooms.measure.scanSource(input)`. */
export interface Pool<Rooms> {
  readonly rooms: { readonly [Room in keyof Rooms]: Pooled<Rooms[Room]> }
  /** Interrupts what runs, refuses what waits, resolves when all threads rest. The pool can be used again, unless aborted. */
  stop(): Promise<void>
  /** `stop`, then ends the threads. */
  close(): Promise<void>
}

interface Waiting {
  readonly order: Order
  readonly resolve: (output: unknown) => void
  readonly reject: (error: unknown) => void
}

/**
 * A pool of threads that all run the same module, which calls `serve` with the tables that `Rooms` describes.
 * Orders start in the order in which they were given. Each has its own promise, so that no result depends on which came first.
 */
export const openPoolOf = <Rooms extends object>(module: URL, options: PoolOptions): Pool<Rooms> => {
  const stopFlag = new SharedArrayBuffer(4)
  const stopWord = new Int32Array(stopFlag)
  const running = new Set<Promise<unknown>>()
  let lanes: Lane[] = []
  let waiting: Waiting[] = []

  const refuseAll = () => {
    Atomics.store(stopWord, 0, 1)
    for (const one of waiting) one.reject(interrupted())
    waiting = []
  }
  const freeLane = (): Lane | null => {
    lanes = lanes.filter(lane => !lane.dead)
    const idle = lanes.find(lane => !lane.busy)
    if (idle !== undefined) return idle
    if (lanes.length >= Math.max(1, options.jobs)) return null
    const lane = new Lane(module, stopFlag)
    lanes.push(lane)
    return lane
  }
  const pump = () => {
    while (waiting.length > 0) {
      const lane = freeLane()
      if (lane === null) return
      const next = waiting.shift()
      if (next !== undefined) start(lane, next)
    }
  }
  const start = (lane: Lane, { order, resolve, reject }: Waiting) => {
    const { room, task } = order
    const listener = {
      advance: (audioSeconds: number) => {
        options.progress({ room, task, audioSeconds })
      },
      done: resolve,
      failed: reject,
    }
    try {
      lane.run(order, listener)
    } catch (error) {
      reject(asSumwellError(error, `handing over ${room} ${task}`))
    }
  }

  const submit = (order: Order): Promise<unknown> => {
    const result = new Promise<unknown>((resolve, reject) => {
      if (Atomics.load(stopWord, 0) !== 0) reject(interrupted())
      else waiting.push({ order, resolve, reject })
    })
    const settled: Promise<void> = result
      .catch(() => undefined) // whoever asked hears of it; nobody else has to
      .then(() => {
        running.delete(settled)
        pump()
      })
    running.add(settled)
    pump()
    return result
  }

  const stop = async () => {
    refuseAll()
    while (running.size > 0) await Promise.all(running)
    if (!options.signal.aborted) Atomics.store(stopWord, 0, 0)
  }
  const close = async () => {
    options.signal.removeEventListener('abort', refuseAll)
    refuseAll()
    await stop()
    await Promise.all(lanes.map(lane => lane.end()))
    Atomics.store(stopWord, 0, 1)
  }
  options.signal.addEventListener('abort', refuseAll)
  if (options.signal.aborted) refuseAll()

  const rooms = byName(room => byName(task => (input: unknown) => submit({ room, task, input })))
  return { rooms: rooms as Pool<Rooms>['rooms'], stop, close }
}

/** An object that makes its members as they are asked for; never a thenable, so that it can be awaited or returned. */
const byName = (make: (name: string) => unknown): unknown =>
  new Proxy(
    {},
    {
      get: (_, name) => (typeof name === 'symbol' || name === 'then' ? undefined : make(name)),
    },
  )
