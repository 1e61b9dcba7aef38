import pLimit from 'p-limit'
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
  /** How many tasks run at a time. */
  readonly threads: number
  /** Ends the threads that have nothing to do, which gives their memory back. The next order starts new ones. */
  rest(): Promise<void>
  /** Interrupts what runs, refuses what waits, resolves when all threads rest. The pool can be used again, unless aborted. */
  stop(): Promise<void>
  /** `stop`, then ends the threads. */
  close(): Promise<void>
}

/** A pool with its threads. */
export interface OpenPool<Rooms> extends Pool<Rooms> {
  /** The same threads for one piece of the work, whose `stop` and `close` leave the others be. */
  part(progress: (advance: Advance) => void): Pool<Rooms>
}

/**
 * A pool of threads that all run the same module, which calls `serve` with the tables that `Rooms` describes.
 * What waits, runs and rests is one state, known in here alone. Orders start in the order in which they were given. Each has its own promise, so that no result depends on which came first.
 */
export const openPoolOf = <Rooms extends object>(module: URL, options: PoolOptions): OpenPool<Rooms> => {
  const stopFlag = new SharedArrayBuffer(4)
  const stopWord = new Int32Array(stopFlag)
  const running = new Set<Promise<unknown>>()
  const threads = Math.max(1, options.jobs)
  const limit = pLimit({ concurrency: threads, rejectOnClear: true })
  let lanes: Lane[] = []

  const refuseAll = () => {
    Atomics.store(stopWord, 0, 1)
    limit.clearQueue()
  }
  // One is idle or can be made: never more orders run than there may be lanes.
  const idleLane = (): Lane => {
    lanes = lanes.filter(lane => !lane.dead)
    const idle = lanes.find(lane => !lane.busy)
    if (idle !== undefined) return idle
    const lane = new Lane(module, stopFlag)
    lanes.push(lane)
    return lane
  }
  const run = (order: Order, piece: Piece): Promise<unknown> =>
    new Promise((resolve, reject) => {
      const { room, task } = order
      const advance = (audioSeconds: number) => {
        piece.progress({ room, task, audioSeconds })
      }
      if (Atomics.load(stopWord, 0) !== 0 || piece.stopped) throw interrupted()
      try {
        idleLane().run(order, { advance, done: resolve, failed: reject })
      } catch (error) {
        throw asSumwellError(error, `handing over ${room} ${task}`)
      }
    })

  const submit = (order: Order, piece: Piece): Promise<unknown> => {
    const result = limit(run, order, piece).catch((error: unknown) => {
      throw isCleared(error) ? interrupted() : error
    })
    const settled: Promise<void> = result
      .catch(() => undefined) // whoever asked hears of it; nobody else has to
      .then(() => {
        running.delete(settled)
        piece.running.delete(settled)
      })
    running.add(settled)
    piece.running.add(settled)
    return result
  }

  const rest = async () => {
    await Promise.all(lanes.filter(lane => !lane.busy).map(lane => lane.end()))
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

  const roomsFor = (piece: Piece): Pool<Rooms>['rooms'] =>
    byName(room =>
      byName(task => (input: unknown) => submit({ room, task, input }, piece)),
    ) as Pool<Rooms>['rooms']
  const part = (progress: (advance: Advance) => void): Pool<Rooms> => {
    const piece: Piece = { progress, running: new Set(), stopped: false }
    const stopPiece = async () => {
      piece.stopped = true
      while (piece.running.size > 0) await Promise.all(piece.running)
      piece.stopped = false
    }
    return { rooms: roomsFor(piece), threads, rest, stop: stopPiece, close: stopPiece }
  }
  const whole: Piece = { progress: options.progress, running: new Set(), stopped: false }
  return { rooms: roomsFor(whole), threads, part, rest, stop, close }
}

/** Orders that belong together. */
interface Piece {
  readonly progress: (advance: Advance) => void
  readonly running: Set<Promise<unknown>>
  /** What waits is refused, what runs goes on to its end. */
  stopped: boolean
}

/** What `p-limit` refuses what still waits with. */
const isCleared = (error: unknown): boolean => error instanceof DOMException && error.name === 'AbortError'

/** An object that makes its members as they are asked for; never a thenable, so that it can be awaited or returned. */
const byName = (make: (name: string) => unknown): unknown =>
  new Proxy(
    {},
    {
      get: (_, name) => (typeof name === 'symbol' || name === 'then' ? undefined : make(name)),
    },
  )
