import type { FaultCode } from './fault-codes.js'

/** Where in a text file a fault stands. Columns count code points, from 1; so do lines. */
export interface Place {
  readonly file: string
  readonly line: number
  readonly column: number
  /** Number of code points under the caret, at least 1. */
  readonly length: number
  /** The whole line as it stands in the file, without its line end. */
  readonly sourceLine: string
}

/** One thing that is wrong: what, where, what was expected, how to mend it. */
export interface Fault {
  readonly code: FaultCode
  /** One sentence without a full stop. Names the thing in the engineer's words. */
  readonly message: string
  /** The text place, or null where the fault is not about a text (then `file` may still name a recording). */
  readonly place: Place | null
  /** The file concerned, as the user wrote or would write it; null where there is none. */
  readonly file: string | null
  /** What would have been right; null where the message says it already. */
  readonly expected: string | null
  /** The nearest legal spelling of what stands at the place; null where none is near. */
  readonly nearest: string | null
  /** What to do; null only where nothing can be done. */
  readonly mend: string | null
}

/** Shorthand: the fields not given are null. */
export const fault = (
  code: FaultCode,
  message: string,
  more: Partial<Omit<Fault, 'code' | 'message'>> = {},
): Fault => ({
  code,
  message,
  place: more.place ?? null,
  file: more.file ?? more.place?.file ?? null,
  expected: more.expected ?? null,
  nearest: more.nearest ?? null,
  mend: more.mend ?? null,
})

/** Carries one or more faults to whoever prints them. Every error that a room throws on purpose is one of these. */
export class SumwellError extends Error {
  readonly faults: readonly Fault[]

  constructor(faults: Fault | readonly Fault[], cause?: unknown) {
    const list = Array.isArray(faults) ? (faults as readonly Fault[]) : [faults as Fault]
    super(list.map(f => f.message).join('; '), cause === undefined ? undefined : { cause })
    this.name = 'SumwellError'
    this.faults = list
  }
}
