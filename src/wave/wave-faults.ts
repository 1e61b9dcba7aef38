import { basename } from 'node:path'
import { type Fault, fault, SumwellError } from '../terms/fault.js'
import type { FaultCode } from '../terms/fault-codes.js'
import type { Warning, WarningCode } from '../terms/warning.js'

const copyAgain = 'copy or export the recording again from the machine or program that made it'

/** A header that cannot be right, with the byte of the file (from 0) where it stands. */
export const headerFault = (path: string, byte: number, message: string, expected: string): SumwellError =>
  new SumwellError(
    fault('WAVE_HEADER', `${message} (byte ${byte})`, { file: path, expected, mend: copyAgain }),
  )

/** A recording that is well formed, or may be, but is not read here. */
export const waveFault = (
  code: FaultCode,
  path: string,
  message: string,
  more: Partial<Pick<Fault, 'expected' | 'mend'>> = {},
  cause?: unknown,
): SumwellError => new SumwellError(fault(code, message, { file: path, ...more }), cause)

/** A bug of ours: a caller broke an agreement that is written at the function it called. */
export const internalFault = (message: string, path: string | null = null): SumwellError =>
  new SumwellError(
    fault('INTERNAL', message, {
      file: path,
      mend: 'this is a bug in Sumwell: please report it with this text',
    }),
  )

/** A warning about one recording, named by its file; the caller who knows group and source fills them in. */
export const waveWarning = (code: WarningCode, path: string, message: string): Warning => ({
  code,
  group: null,
  source: null,
  message: `${basename(path)}: ${message}`,
})

/** The system's error code (`ENOENT`, `ENOSPC`, …) of something thrown, or an empty text. */
export const systemCode = (error: unknown): string =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : ''
