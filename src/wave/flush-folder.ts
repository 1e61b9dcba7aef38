import fs from 'node:fs'

/** Makes new names last through a power cut. Some file systems refuse it for folders; the files themselves are safe either way. */
export const flushFolder = (folder: string): void => {
  try {
    const handle = fs.openSync(folder, 'r')
    try {
      fs.fsyncSync(handle)
    } finally {
      fs.closeSync(handle)
    }
  } catch {
    // nothing is lost: only the moment at which the new names are on the disk is up to the system
  }
}
