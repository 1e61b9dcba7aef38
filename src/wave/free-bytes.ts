import fs from 'node:fs'

/** Bytes that are free on the disk of a folder; null where it does not say, as some network disks. */
export const freeBytes = (folder: string): number | null => {
  try {
    const disk = fs.statfsSync(folder)
    return disk.blocks > 0 ? disk.bavail * disk.bsize : null
  } catch {
    return null
  }
}
