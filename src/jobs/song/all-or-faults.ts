import { type Fault, SumwellError } from '../../terms/fault.js'
import { asSumwellError } from '../../terms/internal.js'
import { isInterrupted } from '../../terms/interrupted.js'

/**
 * All results in the order of the promises; or, when every one has settled, one SumwellError with the faults of all that failed.
 * Interruptions are told only where nothing else went wrong, and then once.
 */
export const allOrFaults = async <Result>(
  doing: string,
  promises: readonly Promise<Result>[],
): Promise<readonly Result[]> => {
  const settled = await Promise.allSettled(promises)
  const errors = settled.flatMap(one =>
    one.status === 'rejected' ? [asSumwellError(one.reason as unknown, doing)] : [],
  )
  if (errors.length === 0) return settled.flatMap(one => (one.status === 'fulfilled' ? [one.value] : []))
  const real = errors.filter(error => !isInterrupted(error))
  throw real.length === 0 ? errors[0]! : new SumwellError(distinct(real.flatMap(e => e.faults)), real[0])
}

/** One file may serve several sources: its fault is told once. */
const distinct = (faults: readonly Fault[]): readonly Fault[] => [
  ...new Map(faults.map(f => [JSON.stringify(f), f])).values(),
]
