import { fault, SumwellError } from './fault.js'

/** What a task throws when it sees `context.aborted`: nothing went wrong, the run was stopped from outside. */
export const interrupted = (): SumwellError =>
  new SumwellError(fault('INTERRUPTED', 'interrupted before it was done', { mend: 'start it again' }))

/** True where that, and nothing else, is what was thrown. */
export const isInterrupted = (error: unknown): boolean =>
  error instanceof SumwellError && error.faults.every(f => f.code === 'INTERRUPTED')
