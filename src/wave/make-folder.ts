import fs from 'node:fs'
import path from 'node:path'
import { systemCode } from './wave-faults.js'

/**
 * Makes a folder with all that it lies in, where missing. On a read-only disk the system's own way of making several at once says only that
 * something is not there: then the first missing one is made by itself, and what the system says to that is thrown.
 * @throws the system's error
 */
export const makeFolder = (folder: string): void => {
  try {
    fs.mkdirSync(folder, { recursive: true })
  } catch (error) {
    if (systemCode(error) !== 'ENOENT') throw error
    const missing = firstMissing(folder)
    if (missing === null) throw error
    fs.mkdirSync(missing)
    fs.mkdirSync(folder, { recursive: true })
  }
}

/** The outermost folder of a path that is not there; null where all are, or one of them cannot be looked at. */
const firstMissing = (folder: string): string | null => {
  let missing: string | null = null
  for (let at = path.resolve(folder); ; at = path.dirname(at)) {
    try {
      if (fs.statSync(at, { throwIfNoEntry: false }) !== undefined) return missing
    } catch {
      return null
    }
    missing = at
    if (at === path.dirname(at)) return missing
  }
}
