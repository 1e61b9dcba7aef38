import type { Fault } from '../../terms/fault.js'

/** Handed to a worker when it starts. The flag is one 32-bit word, 0 = go on, 1 = stop; both sides see it at once. */
export interface WorkerStart {
  readonly stopFlag: SharedArrayBuffer
  /** The module that the thread runs, as a file URL. */
  readonly module: string
}

/** To a worker: do this. One at a time. */
export interface Order {
  readonly room: string
  readonly task: string
  readonly input: unknown
}

/** From a worker. `audioSeconds` counts since the last message. */
export type Reply =
  | { readonly kind: 'advance'; readonly audioSeconds: number }
  | { readonly kind: 'done'; readonly audioSeconds: number; readonly output: unknown }
  | { readonly kind: 'failed'; readonly audioSeconds: number; readonly failure: Failure }

/** An error as plain data: its faults survive the way between threads, its stack goes along for whoever debugs. */
export interface Failure {
  readonly faults: readonly Fault[]
  readonly stack: string
}
