import { addressOf } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'
import { firstEqualPlain, firstZeroPlain } from './plain/level.js'

/** First index in `start … end - 1` at which a sample equals the one before; `end` where none does. `start`: 1 or more. */
export const firstEqual = (samples: Float64Array, start: number, end: number): number => {
  const at = addressOf(samples)
  const run = at < 0 ? undefined : kernels()?.run
  if (run === undefined || start >= end) return firstEqualPlain(samples, start, end)
  return start + run.firstEqual(at + 8 * start, end - start)
}

/** First index in `start … end - 1` of a sample that is 0, or `end`. */
export const firstZero = (samples: Float64Array, start: number, end: number): number => {
  const at = addressOf(samples)
  const run = at < 0 ? undefined : kernels()?.run
  if (run === undefined || start >= end) return firstZeroPlain(samples, start, end)
  return start + run.firstZero(at + 8 * start, end - start)
}
