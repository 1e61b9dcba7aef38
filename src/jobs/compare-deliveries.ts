import { compareTakes } from '../lock/compare/compare-takes.js'
import { type ReadTake, readTake } from '../lock/compare/read-take.js'
import type { Comparison } from '../report/compared/comparison.js'
import { SumwellError } from '../terms/fault.js'

/** Two deliveries side by side. */
export interface ComparedDeliveries {
  readonly before: ReadTake
  readonly now: ReadTake
  readonly comparison: Comparison
}

/**
 * Compares two folders of delivery, or two locks, or one of each.
 * @throws SumwellError REPORT_UNREADABLE, LOCK_UNREADABLE: of both, where both are
 */
export const compareDeliveries = (before: string, now: string): ComparedDeliveries => {
  const read = [before, now].map(given => {
    try {
      return readTake(given)
    } catch (error) {
      if (error instanceof SumwellError) return error
      throw error
    }
  })
  const faults = read.flatMap(one => (one instanceof SumwellError ? one.faults : []))
  if (faults.length > 0) throw new SumwellError(faults)
  const [old, fresh] = read as [ReadTake, ReadTake]
  return { before: old, now: fresh, comparison: compareTakes(old.take, fresh.take) }
}
