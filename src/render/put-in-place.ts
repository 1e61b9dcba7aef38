import fs from 'node:fs'
import path from 'node:path'
import { flushFolder } from '../wave/flush-folder.js'
import { writeFault } from '../wave/write-faults.js'

/** A whole file, flushed to the disk, and the name under which it is to appear. Both on one disk. */
export interface Placement {
  readonly from: string
  readonly to: string
}

/**
 * Puts whole files under their names, one rename each: whoever looks sees the former file or the new one. Rights of a former file are
 * kept; a link under the name is replaced, what it points to is left alone.
 * @throws SumwellError WRITE_…; the files before the one that failed are the new ones then, the others the former ones
 */
export const putInPlace = (placements: readonly Placement[]): void => {
  for (const { from, to } of placements) {
    try {
      const former = fs.statSync(to, { throwIfNoEntry: false })
      if (former !== undefined) fs.chmodSync(from, former.mode & 0o777)
      fs.renameSync(from, to)
    } catch (error) {
      throw writeFault(to, error)
    }
  }
  for (const folder of new Set(placements.map(({ to }) => path.dirname(to)))) flushFolder(folder)
}
