import { Worker } from 'node:worker_threads'
import type { SumwellError } from '../../terms/fault.js'
import { asSumwellError } from '../../terms/internal.js'
import { entryOf } from './entry.js'
import { errorOf } from './failure.js'
import type { Order, Reply, WorkerStart } from './messages.js'

/** What happens to one order: exactly one of `done` and `failed`, any number of `advance` before it. */
export interface Listener {
  advance(audioSeconds: number): void
  done(output: unknown): void
  failed(error: SumwellError): void
}

/**
 * Room for short-lived values in each thread, MB. Tasks make few of them; with the engine's own choice the rubbish of a
 * five-minute song took 50 MB more, and no less time.
 */
const YOUNG_MB = 4

/**
 * One worker thread and the order it is at. While idle it does not keep the process alive.
 * If the thread dies, its order fails with INTERNAL and `dead` is true from then on.
 */
export class Lane {
  dead = false
  private current: { order: Order; listener: Listener } | null = null
  private readonly worker: Worker

  constructor(module: URL, stopFlag: SharedArrayBuffer) {
    const start: WorkerStart = { stopFlag, module: module.href }
    this.worker = new Worker(entryOf(module), {
      workerData: start,
      // No flags of this process: some of them (`--input-type`, a loader) keep a worker from starting.
      execArgv: [],
      resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MB },
    })
    this.worker.unref()
    this.worker.on('message', (reply: Reply) => {
      this.hear(reply)
    })
    this.worker.on('messageerror', error => {
      this.die(error)
    })
    this.worker.on('error', error => {
      this.die(error)
    })
    this.worker.on('exit', code => {
      this.die(new Error(`its thread ended with code ${code}`))
    })
  }

  get busy(): boolean {
    return this.current !== null
  }

  run(order: Order, listener: Listener): void {
    this.worker.postMessage(order) // first: it throws where the input cannot be sent
    this.current = { order, listener }
    this.worker.ref()
  }

  async end(): Promise<void> {
    this.dead = true
    await this.worker.terminate()
  }

  private hear(reply: Reply): void {
    const current = this.current
    if (current === null) return
    if (reply.audioSeconds > 0) current.listener.advance(reply.audioSeconds)
    if (reply.kind === 'advance') return
    this.rest()
    if (reply.kind === 'done') current.listener.done(reply.output)
    else current.listener.failed(errorOf(reply.failure))
  }

  private die(error: unknown): void {
    this.dead = true
    const current = this.current
    this.rest()
    current?.listener.failed(asSumwellError(error, `doing ${current.order.room} ${current.order.task}`))
  }

  private rest(): void {
    this.current = null
    this.worker.unref()
  }
}
