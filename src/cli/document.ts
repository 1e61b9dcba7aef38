import { tool } from '../jobs/tool.js'
import type { Fault } from '../terms/fault.js'
import type { SongWarning } from './tell.js'

/** What `--json` prints, beside the songs of the command. Every field is always there. */
export interface Told {
  readonly songs: readonly unknown[]
  /** What stands in the place of `songs` in a document that is not about songs. */
  readonly fields?: Readonly<Record<string, unknown>> | undefined
  readonly warnings: readonly SongWarning[]
  readonly faults: readonly Fault[]
}

/**
 * The one document of `--json`, with its line end. `format` counts up when a reader of the former could be misled. The order
 * of the fields is fixed. A number without a finite value would be a bug of ours: it is refused here rather than printed as null.
 */
export const documentText = ({ songs, fields, warnings, faults }: Told): string => {
  const document = {
    format: 1,
    tool: tool(),
    ...(fields ?? { songs }),
    warnings,
    faults: faults.map(faultFields),
  }
  return `${JSON.stringify(document, finiteOnly, 2)}\n`
}

const finiteOnly = (key: string, value: unknown): unknown => {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${key} is ${value}`)
  return value
}

const faultFields = ({ code, message, place, file, expected, nearest, mend }: Fault) => ({
  code,
  message,
  file,
  line: place?.line ?? null,
  column: place?.column ?? null,
  expected,
  nearest,
  mend,
})
