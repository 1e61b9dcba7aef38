import { fault, SumwellError } from '../terms/fault.js'
import { type FileIdentity, lookUp, sameIdentity } from '../wave/file-identity.js'

/** Recordings as they were at one moment: which file, how long, last written when. Null = out of reach then. */
export type FileStates = ReadonlyMap<string, FileIdentity | null>

/** Looks at files, not into them. Taken before anything is measured, so that what is delivered belongs to what was measured. */
export const statesOf = (files: readonly string[]): FileStates =>
  new Map(files.map(file => [file, lookUp(file)]))

/**
 * All recordings that were written to, replaced or removed since are told at once.
 * @throws SumwellError WAVE_CHANGED
 */
export const refuseChangedSince = (states: FileStates): void => {
  const changed = [...states].filter(([file, before]) => {
    const now = lookUp(file)
    return before === null || now === null ? before !== now : !sameIdentity(before, now)
  })
  if (changed.length === 0) return
  throw new SumwellError(
    changed.map(([file]) =>
      fault('WAVE_CHANGED', 'the file was changed since it was measured', {
        file,
        mend: 'wait until the recording or copying has ended, then run again; nothing was delivered',
      }),
    ),
  )
}
