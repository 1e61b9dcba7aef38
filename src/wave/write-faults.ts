import { fault, SumwellError } from '../terms/fault.js'
import type { FaultCode } from '../terms/fault-codes.js'
import { systemCode } from './wave-faults.js'

interface Cause {
  readonly code: FaultCode
  readonly message: string
  readonly mend: string
}

const full = (message: string): Cause => ({
  code: 'WRITE_DISK_FULL',
  message,
  mend: 'make room there or deliver to another disk, then run again; the former file is untouched',
})

const notAllowed = (message: string): Cause => ({
  code: 'WRITE_NOT_ALLOWED',
  message,
  mend: 'ask for the right to write there, or deliver to a folder of your own',
})

const failed = (message: string, mend: string): Cause => ({ code: 'WRITE_FAILED', message, mend })

const causes: Readonly<Record<string, Cause>> = {
  ENOSPC: full('the disk is full'),
  EDQUOT: full('the quota of disk space is used up'),
  EACCES: notAllowed('no right to write there'),
  EPERM: notAllowed('no right to write there'),
  EROFS: notAllowed('the disk is read-only'),
  EFBIG: failed('the disk does not take a file of this size', 'deliver to a disk with another file system'),
  ENOTDIR: failed('a folder in the path is a file', 'choose another folder, or move that file away'),
  EEXIST: failed('a folder in the path is a file', 'choose another folder, or move that file away'),
  EISDIR: failed('a folder of this name is in the way', 'choose another name, or move that folder away'),
  ENOENT: failed('the folder is gone', 'check that the disk is still connected, then run again'),
  ENAMETOOLONG: failed('the name is too long for this disk', 'choose a shorter name or folder'),
  EIO: failed('the disk reports an error', 'check the disk; the former file is untouched'),
  EMFILE: failed('too many files are open', 'close other programs, or raise the limit of open files'),
}

/** The fault for something that the system refused while `path` was written. Faults that are ours already pass through. */
export const writeFault = (path: string, error: unknown): SumwellError => {
  if (error instanceof SumwellError) return error
  const code = systemCode(error)
  const cause =
    causes[code] ??
    failed(`writing failed (${code || String(error)})`, 'run again; the former file is untouched')
  return new SumwellError(
    fault(cause.code, `${cause.message}: the file cannot be written`, { file: path, mend: cause.mend }),
    error,
  )
}

/** The fault for something that we saw ourselves. */
export const stopped = (
  path: string,
  message: string,
  mend = 'check the disk; the former file is untouched',
): SumwellError => new SumwellError(fault('WRITE_FAILED', message, { file: path, mend }))

/** The fault for a disk that has too little room before anything was written. */
export const noRoomFault = (path: string, neededBytes: number, freeBytes: number): SumwellError => {
  const mib = (bytes: number): string => `${(bytes / 2 ** 20).toFixed(1)} MiB`
  const cause = full('')
  return new SumwellError(
    fault(cause.code, `the file needs ${mib(neededBytes)}, the disk has ${mib(freeBytes)} left`, {
      file: path,
      mend: cause.mend,
    }),
  )
}
