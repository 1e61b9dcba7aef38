import { parentPort, workerData } from 'node:worker_threads'
import { inArena } from '../../signal/kernel/arena.js'
import { buffersOf } from '../../terms/buffers-of.js'
import { collectShortLived } from '../../terms/collect.js'
import { ownValue } from '../../terms/own-value.js'
import type { Task, TaskContext } from '../../terms/task.js'
import { failureOf } from './failure.js'
import type { Order, Reply, WorkerStart } from './messages.js'

/** Loads a room's table of tasks when its first task comes: a worker that only measures never loads the writer. */
export type Tables = Readonly<Record<string, () => Promise<object>>>

/** Progress messages are at least this far apart, so that many short blocks do not flood the main thread. */
const ADVANCE_EVERY_MS = 80

/** The whole life of a worker: takes orders one at a time until its thread is ended from outside. */
export const serve = (tables: Tables): void => {
  if (parentPort === null) throw new Error('serve() runs in a worker thread only')
  const port = parentPort
  const stopFlag = new Int32Array((workerData as WorkerStart).stopFlag)
  let pending = 0
  let toldAt = 0

  const context: TaskContext = {
    get aborted() {
      return Atomics.load(stopFlag, 0) !== 0
    },
    advance(audioSeconds) {
      pending += audioSeconds
      const now = performance.now()
      if (now - toldAt < ADVANCE_EVERY_MS) return
      toldAt = now
      port.postMessage({ kind: 'advance', audioSeconds: takePending() } satisfies Reply)
    },
  }
  const takePending = (): number => {
    const audioSeconds = pending
    pending = 0
    return audioSeconds
  }

  port.on('message', (order: Order) => {
    void obey(tables, order, context)
      .then(output => {
        const done: Reply = { kind: 'done', audioSeconds: takePending(), output }
        port.postMessage(done, buffersOf(output))
      })
      .catch((error: unknown) => {
        const failure = failureOf(error, `doing ${order.room} ${order.task}`)
        port.postMessage({ kind: 'failed', audioSeconds: takePending(), failure } satisfies Reply)
      })
      // A little later: then nothing of this order is held any more.
      .finally(() => setImmediate(collectShortLived))
  })
}

const obey = async (tables: Tables, order: Order, context: TaskContext): Promise<unknown> => {
  const load = ownValue(tables, order.room)
  if (load === undefined) throw new Error(`no room named ${order.room}`)
  const table = (await load()) as Record<string, Task<unknown, unknown>>
  const task = ownValue(table, order.task)
  if (task === undefined) throw new Error(`no task named ${order.task} in ${order.room}`)
  return inArena(() => task(order.input, context))
}
