import { createHash, randomBytes } from 'node:crypto'
import fs from 'node:fs'
import path from 'node:path'
import { flushFolder } from './flush-folder.js'
import { makeFolder } from './make-folder.js'
import { readBlock } from './read-block.js'
import { temporaryName } from './temporary-name.js'
import { internalFault } from './wave-faults.js'
import { noRoomFault, stopped, writeFault } from './write-faults.js'

/**
 * A file that appears under its name only when it is whole. Until `commit` everything goes to a temporary file in the same folder;
 * whatever stood under the name before stays as it is until the very moment of the rename.
 */
export interface AtomicFile {
  readonly path: string
  /** Bytes written so far. */
  readonly bytes: number
  /** Appends all of `bytes`. @throws SumwellError WRITE_DISK_FULL, WRITE_NOT_ALLOWED, WRITE_FAILED; the temporary file is gone then */
  write(bytes: Uint8Array): void
  /** Writes over the first bytes; no more of them than were written. @throws as `write` */
  rewriteStart(bytes: Uint8Array): void
  /** SHA-256 of all that was written, read back. @throws as `write` */
  sha256(): string
  /** Flushes to the disk, compares the size, renames, flushes the folder. @throws as `write` */
  commit(): void
  /** Removes the temporary file. Never throws; safe to call twice, after `commit` (then the file stays), and after a failed `write`. */
  discard(): void
}

export interface AtomicOptions {
  /** Bytes that will be written, where known: a disk that has not that much left is a fault before anything is written. */
  readonly expectedBytes?: number
  /** The folder must be there: one that was taken away meanwhile is not made again. Else a missing folder is made. */
  readonly folderStands?: boolean
}

/** The folder of `target`, made where missing unless it must stand; refuses a target that is there and no plain file or link to one. */
const prepare = (target: string, options: AtomicOptions): fs.Stats | undefined => {
  const folder = path.dirname(target)
  if (options.folderStands !== true) makeFolder(folder)
  const former = fs.statSync(target, { throwIfNoEntry: false })
  if (former !== undefined && !former.isFile()) {
    const what = former.isDirectory() ? 'a folder' : 'a device or pipe'
    throw stopped(target, `${what} of this name is in the way`, 'choose another name, or move it away')
  }
  const needed = options.expectedBytes ?? 0
  const disk = fs.statfsSync(folder)
  const free = disk.bavail * disk.bsize
  // A courtesy only: others write too. Some network disks tell nothing (0 blocks).
  if (disk.blocks > 0 && needed > free) throw noRoomFault(target, needed, free)
  return former
}

/**
 * Starts a file. A missing folder is made; the rights of a former file are kept; a link under the name is replaced, what it points to is
 * left alone. Synchronous; one thread writes one file. All in one function, so that nothing else gets hold of the open file.
 * @throws SumwellError WRITE_DISK_FULL, WRITE_NOT_ALLOWED, WRITE_FAILED
 */
export const openAtomic = (target: string, options: AtomicOptions = {}): AtomicFile => {
  const folder = path.dirname(target)
  const temporary = path.join(folder, temporaryName(randomBytes(6).toString('hex')))
  let handle: number | null = null
  let waiting = false
  let done = 0

  const release = (): void => {
    if (handle !== null) fs.closeSync(handle)
    handle = null
  }
  const discard = (): void => {
    try {
      release()
    } catch {
      // the temporary file goes all the same
    }
    try {
      if (waiting) fs.rmSync(temporary, { force: true })
    } catch {
      // out of reach: `removeLeftovers` of a later run finds it
    }
    waiting = false
  }
  /** Anything that fails leaves nothing behind. */
  const guarded = (action: () => void): void => {
    try {
      action()
    } catch (error) {
      discard()
      throw writeFault(target, error)
    }
  }
  const opened = (): number => {
    if (handle === null) throw internalFault('written to after its end', target)
    return handle
  }

  guarded(() => {
    const former = prepare(target, options)
    handle = fs.openSync(temporary, 'wx+', 0o666)
    waiting = true
    if (former !== undefined) fs.fchmodSync(handle, former.mode & 0o777)
  })

  return {
    path: target,
    get bytes() {
      return done
    },
    write: bytes => {
      guarded(() => {
        // A disk that fills up first takes a part (a short count) and says ENOSPC only at the next call.
        for (let at = 0; at < bytes.length; ) {
          const count = fs.writeSync(opened(), bytes, at)
          if (count === 0) throw stopped(target, 'the disk takes no more bytes')
          at += count
        }
        done += bytes.length
      })
    },
    rewriteStart: bytes => {
      guarded(() => {
        if (bytes.length > done) throw internalFault('more is to be rewritten than was written', target)
        for (let at = 0; at < bytes.length; ) {
          const count = fs.writeSync(opened(), bytes, at, bytes.length - at, at)
          if (count === 0) throw stopped(target, 'the disk takes no more bytes')
          at += count
        }
      })
    },
    sha256: () => {
      const hash = createHash('sha256')
      guarded(() => {
        const block = readBlock()
        for (let at = 0; at < done; ) {
          const count = fs.readSync(opened(), block, 0, block.length, at)
          if (count === 0) throw stopped(target, `${at} of ${done} bytes arrived on the disk`)
          hash.update(block.subarray(0, count))
          at += count
        }
      })
      return hash.digest('hex')
    },
    commit: () => {
      guarded(() => {
        fs.fsyncSync(opened())
        const onDisk = fs.fstatSync(opened()).size
        if (onDisk !== done) throw stopped(target, `${onDisk} of ${done} bytes arrived on the disk`)
        release()
        fs.renameSync(temporary, target)
        waiting = false
      })
      flushFolder(folder)
    },
    discard,
  }
}

/** Writes a whole small file: text as UTF-8, or bytes. The same promises as `openAtomic`. */
export const writeWhole = (target: string, contents: string | Uint8Array): void => {
  const bytes = typeof contents === 'string' ? new TextEncoder().encode(contents) : contents
  const file = openAtomic(target, { expectedBytes: bytes.length })
  file.write(bytes)
  file.commit()
}
