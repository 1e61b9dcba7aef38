import { openPool, type SongPool } from './open-pool.js'
import type { Progress } from './progress.js'

export interface PoolWish {
  /** Threads at most, 1 or more. */
  readonly jobs: number
  readonly signal: AbortSignal
  /** Hears how many seconds of audio the threads have done. */
  readonly progress: Progress
}

/** Does work that needs threads, and closes them whatever comes of it. */
export const withPool = async <Result>(
  { jobs, signal, progress }: PoolWish,
  work: (pool: SongPool) => Promise<Result>,
): Promise<Result> => {
  const pool = openPool({
    jobs,
    signal,
    progress: ({ audioSeconds }) => {
      progress.advance(audioSeconds)
    },
  })
  try {
    return await work(pool)
  } finally {
    await pool.close()
  }
}
