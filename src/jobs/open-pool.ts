import type { measureTasks } from '../measure/tasks.js'
import type { renderTasks } from '../render/tasks.js'
import type { reportTasks } from '../report/tasks.js'
import type { toneTasks } from '../tone/tasks.js'
import type { verifyTasks } from '../verify/tasks.js'
import { type OpenPool, openPoolOf, type Pool, type PoolOptions } from './pool/pool.js'

/** What `pool/worker.ts` serves. Types only: this thread loads none of it. */
export interface Rooms {
  readonly measure: typeof measureTasks
  readonly render: typeof renderTasks
  readonly tone: typeof toneTasks
  readonly report: typeof reportTasks
  readonly verify: typeof verifyTasks
}

export type SongPool = Pool<Rooms>

/** Threads for the tasks of all rooms. None starts before its first task. Close it in every way out. */
export const openPool = (options: PoolOptions): OpenPool<Rooms> =>
  openPoolOf<Rooms>(
    new URL(import.meta.url.endsWith('.ts') ? './pool/worker.ts' : './pool/worker.js', import.meta.url),
    options,
  )
