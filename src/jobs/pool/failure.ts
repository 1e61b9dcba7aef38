import { SumwellError } from '../../terms/fault.js'
import { asSumwellError } from '../../terms/internal.js'
import type { Failure } from './messages.js'

/** The error as plain data. Anything but a SumwellError is a bug of ours and becomes INTERNAL. */
export const failureOf = (error: unknown, doing: string): Failure => {
  const told = asSumwellError(error, doing)
  const inner = told.cause instanceof Error ? told.cause : told
  return { faults: told.faults, stack: inner.stack ?? inner.message }
}

/** The error again, on the other side. `cause` holds the stack of the thread in which it happened. */
export const errorOf = (failure: Failure): SumwellError =>
  new SumwellError(failure.faults, new Error(failure.stack))
