import fs from 'node:fs'
import path from 'node:path'
import { flushFolder } from '../wave/flush-folder.js'
import { writeFault } from '../wave/write-faults.js'

/** A whole file, flushed to the disk, and the name under which it is to appear. Both on one disk. */
export interface Placement {
  readonly from: string
  readonly to: string
}

/** Changes of names that belong together. */
export interface Change {
  /** Files that go away before anything else happens; missing ones are passed over. */
  readonly away: readonly string[]
  /** Then these appear, one rename each, in this order. */
  readonly placements: readonly Placement[]
  /** And this one when all others are on the disk: it says that they are there. */
  readonly seal: Placement
  /** A folder on the same disk, of our own, in which the former files are kept until all is done. */
  readonly keep: string
}

/**
 * Takes files away and puts whole ones under their names: whoever looks sees the former file or the new one, never a part. When the system
 * refuses a step, those before it are taken back. Rights of a former file are kept; a link under the name is replaced, what it points to is left
 * alone. What went away is gone from the disk before the first file appears, and everything else is on it before the seal.
 * @throws SumwellError WRITE_…; the former files are all in their places then, unless the disk refuses that as well or knows no second names
 */
export const putInPlace = ({ away, placements, seal, keep }: Change): void => {
  const undo: (() => void)[] = []
  let kept = 0
  let at = keep
  const room = (): string => path.join(keep, String(kept++))
  try {
    fs.mkdirSync(keep, { recursive: true })
    for (const file of away) {
      at = file
      if (fs.lstatSync(file, { throwIfNoEntry: false }) === undefined) continue
      const aside = room()
      fs.renameSync(file, aside)
      undo.push(() => {
        fs.renameSync(aside, file)
      })
    }
    flushFolders(away)
    for (const { from, to } of [...placements, seal]) {
      at = to
      if (from === seal.from) flushFolders(placements.map(placed => placed.to))
      const former = fs.statSync(to, { throwIfNoEntry: false })
      if (former !== undefined) fs.chmodSync(from, former.mode & 0o777)
      const second = secondName(to, room())
      fs.renameSync(from, to)
      if (second !== null) undo.push(second)
      else if (former === undefined) {
        undo.push(() => {
          fs.renameSync(to, from)
        })
      }
    }
  } catch (error) {
    for (const step of undo.reverse()) attempt(step)
    throw writeFault(at, error)
  }
  flushFolders([seal.to])
}

// The former file gets a second name, so that it can be put back. Null where there is none, or on a disk that knows no second names.
const secondName = (file: string, aside: string): (() => void) | null => {
  try {
    fs.linkSync(file, aside)
    return () => {
      fs.renameSync(aside, file)
    }
  } catch {
    return null
  }
}

const attempt = (step: () => void): void => {
  try {
    step()
  } catch {
    // the file stays as it is, whole; the fault that led here is told
  }
}

const flushFolders = (files: readonly string[]): void => {
  for (const folder of new Set(files.map(file => path.dirname(file)))) flushFolder(folder)
}
