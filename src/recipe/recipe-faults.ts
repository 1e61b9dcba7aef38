import { type Fault, fault, SumwellError } from '../terms/fault.js'
import type { FaultCode } from '../terms/fault-codes.js'
import type { Span } from './located.js'

/** What a fault may say beside its message. */
export interface FaultDetail {
  readonly expected?: string
  readonly nearest?: string | null
  readonly mend?: string
}

/** Gathers the faults of one recipe and its bases, so that all are told at once. */
export class RecipeFaults {
  private readonly list: Fault[] = []
  private readonly told = new Set<string>()

  /** Reports what stands at a place. */
  add(code: FaultCode, message: string, at: Span, detail: FaultDetail = {}): void {
    this.told.add(placeKey(at))
    this.list.push(
      fault(code, message, {
        place: at.source.place(at.start, at.end),
        expected: detail.expected ?? null,
        nearest: detail.nearest ?? null,
        mend: detail.mend ?? null,
      }),
    )
  }

  /** Takes a fault that another room or step has made. */
  take(ready: Fault): void {
    this.list.push(ready)
  }

  /** Whether something was reported at exactly this place: one fault there is enough. */
  toldAt(at: Span): boolean {
    return this.told.has(placeKey(at))
  }

  get any(): boolean {
    return this.list.length > 0
  }

  /** One error with everything found, in the order of file, line and column. */
  error(): SumwellError {
    return new SumwellError([...this.list].sort(byPlace))
  }

  throwIfAny(): void {
    if (this.any) throw this.error()
  }
}

const placeKey = (at: Span): string => `${at.start}:${at.source.path}`

const byPlace = (a: Fault, b: Fault): number =>
  compareText(a.file ?? '', b.file ?? '') ||
  (a.place?.line ?? 0) - (b.place?.line ?? 0) ||
  (a.place?.column ?? 0) - (b.place?.column ?? 0) ||
  compareText(a.code, b.code)

const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
