import fs from 'node:fs'

/** What stands under a path cannot be read as a plain file of the size that is looked for. `message` fits after "it". */
export class NotPlain extends Error {
  constructor(readonly kind: 'folder' | 'pipe, socket or device' | 'too large') {
    super(kind === 'too large' ? 'is far too large' : `is a ${kind}, not a file`)
    this.name = 'NotPlain'
  }
}

const refuseOther = (stats: fs.Stats): void => {
  if (stats.isDirectory()) throw new NotPlain('folder')
  if (!stats.isFile()) throw new NotPlain('pipe, socket or device')
}

/** Whether a folder stands there. False too for what is out of reach: whoever reads it next says why. */
export const isFolder = (path: string): boolean => {
  try {
    return fs.statSync(path).isDirectory()
  } catch {
    return false
  }
}

/**
 * Opens a plain file for reading. Pipes and devices are refused without being opened: opening one can wait for ever, or act.
 * @throws NotPlain; the system's error
 */
export const openPlain = (path: string): number => {
  refuseOther(fs.statSync(path))
  // Without O_NONBLOCK a pipe that took the file's place in between would be waited for.
  const handle = fs.openSync(path, fs.constants.O_RDONLY | fs.constants.O_NONBLOCK)
  try {
    refuseOther(fs.fstatSync(handle))
    return handle
  } catch (error) {
    fs.closeSync(handle)
    throw error
  }
}

/** The bytes of a plain file that is at most so large. @throws NotPlain; the system's error */
export const readPlain = (path: string, mostBytes: number): Buffer => {
  const handle = openPlain(path)
  try {
    if (fs.fstatSync(handle).size > mostBytes) throw new NotPlain('too large')
    return fs.readFileSync(handle)
  } finally {
    fs.closeSync(handle)
  }
}

/** The same, for files that may be missing: null where there is none that can be read so. */
export const readPlainIfThere = (path: string, mostBytes: number): Buffer | null => {
  try {
    return readPlain(path, mostBytes)
  } catch {
    return null
  }
}

/** The first bytes of a plain file, at most so many. @throws NotPlain; the system's error */
export const headOf = (path: string, bytes: number): Buffer => {
  const head = Buffer.alloc(bytes)
  const handle = openPlain(path)
  try {
    return head.subarray(0, fs.readSync(handle, head, 0, bytes, 0))
  } finally {
    fs.closeSync(handle)
  }
}
