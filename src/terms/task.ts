/**
 * A piece of work that may run in another thread: plain data in, plain data (and typed arrays) out.
 * Tasks are synchronous inside or not, but never print, never exit, and leave nothing half-written when they throw.
 */
export type Task<In, Out> = (input: In, context: TaskContext) => Out | Promise<Out>

export interface TaskContext {
  /** True once the run was interrupted: ask between blocks and throw `interrupted()`. */
  readonly aborted: boolean
  /** Tell that so many more seconds of audio are done (summed over tasks by the progress display). */
  advance(audioSeconds: number): void
}

/** What a room gets instead of its own task table: the same functions, perhaps in other threads. Order of results is the caller's. */
export type Pooled<Table> = {
  readonly [Name in keyof Table]: Table[Name] extends Task<infer In, infer Out>
    ? (input: In) => Promise<Out>
    : never
}

/** Runs tasks where they stand, one after the other: for tests and for the library. */
export const inProcess = <Table extends object>(
  table: Table,
  context: TaskContext = quietContext,
): Pooled<Table> => {
  const entries = Object.entries(table) as [string, Task<unknown, unknown>][]
  const pooled = entries.map(([name, task]) => [
    name,
    // A task that throws at once becomes a promise that fails, as it would from another thread.
    (input: unknown) =>
      new Promise(resolve => {
        resolve(task(input, context))
      }),
  ])
  return Object.fromEntries(pooled) as Pooled<Table>
}

/** A context that is never interrupted and tells nobody. */
export const quietContext: TaskContext = { aborted: false, advance: () => undefined }
