import fs from 'node:fs'
import { type FileIdentity, identityOf, lookUp, sameIdentity } from './file-identity.js'
import { systemCode, waveFault } from './wave-faults.js'

/** A recording as bytes: opened read-only, read at any place, never written. Positions and sizes are exact up to 2^53. */
export interface FileBytes {
  readonly path: string
  readonly identity: FileIdentity
  /** Bytes in the file when it was opened. */
  readonly size: number
  /** Fills `into` from `position` on; returns how many bytes there were, fewer only at the end of the file. */
  readInto(into: Uint8Array, position: number): number
  /** The bytes [position, position + count), fewer only at the end of the file. */
  slice(position: number, count: number): Uint8Array
  /** True when the file under this path is not the one that was opened, or was written to since. */
  changed(): boolean
  close(): void
}

const kindOf = (stats: fs.BigIntStats): string => {
  if (stats.isDirectory()) return 'a folder'
  if (stats.isFIFO()) return 'a pipe'
  if (stats.isSocket()) return 'a socket'
  return 'a device'
}

const whyUnreadable: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ['the file does not exist', 'check the spelling of the path, and that the disk is connected'],
  ENOTDIR: ['a folder in the path is a file', 'check the spelling of the path'],
  EACCES: ['no right to read the file', 'ask for the right to read it, or copy it to a folder of your own'],
  EPERM: ['no right to read the file', 'ask for the right to read it, or copy it to a folder of your own'],
  ELOOP: ['the path is a circle of links', 'mend the links, or name the file itself'],
  ENAMETOOLONG: ['the path is too long for this system', 'move the file to a shorter path'],
  EIO: ['the disk cannot read it', 'copy what can be saved from that disk before anything else'],
  EMFILE: ['too many files are open', 'close other programs, or raise the limit of open files'],
  ENFILE: ['too many files are open', 'close other programs, or raise the limit of open files'],
}

const unreadable = (path: string, error: unknown): Error => {
  const code = systemCode(error)
  const [message, mend] = whyUnreadable[code] ?? [`the file cannot be read (${code || String(error)})`, null]
  return waveFault('WAVE_UNREADABLE', path, message, { mend }, error)
}

const attempt = <Result>(path: string, action: () => Result): Result => {
  try {
    return action()
  } catch (error) {
    throw unreadable(path, error)
  }
}

const refuseOther = (path: string, stats: fs.BigIntStats): void => {
  if (stats.isFile()) return
  throw waveFault('WAVE_UNREADABLE', path, `this is ${kindOf(stats)}, not a file`, {
    expected: 'a WAVE file on a disk',
  })
}

/**
 * Opens a plain file for reading. Folders, pipes, sockets and devices are refused without being opened.
 * @throws SumwellError WAVE_UNREADABLE
 */
export const openBytes = (path: string): FileBytes => {
  refuseOther(
    path,
    attempt(path, () => fs.statSync(path, { bigint: true })),
  )
  // Without O_NONBLOCK a pipe that took the file's place in between would block for ever.
  const handle = attempt(path, () => fs.openSync(path, fs.constants.O_RDONLY | fs.constants.O_NONBLOCK))
  let open = true
  const close = (): void => {
    if (open) fs.closeSync(handle)
    open = false
  }
  const stats = attempt(path, () => fs.fstatSync(handle, { bigint: true }))
  try {
    refuseOther(path, stats)
  } catch (error) {
    close()
    throw error
  }
  const identity = identityOf(stats)
  const readInto = (into: Uint8Array, position: number): number => {
    let done = 0
    while (done < into.length) {
      const count = attempt(path, () => fs.readSync(handle, into, done, into.length - done, position + done))
      if (count === 0) break
      done += count
    }
    return done
  }
  return {
    path,
    identity,
    size: Number(stats.size),
    readInto,
    slice: (position, count) => {
      const bytes = new Uint8Array(Math.max(0, Math.min(count, Number(stats.size) - position)))
      return bytes.subarray(0, readInto(bytes, position))
    },
    changed: () => {
      const now = lookUp(path)
      return now === null || !sameIdentity(identity, now)
    },
    close,
  }
}
