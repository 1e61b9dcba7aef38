import path from 'node:path'
import { writeWhole } from '../wave/atomic-file.js'
import { sha256OfFile } from '../wave/hash.js'
import { CHECKSUM_LIST, checksumText, readChecksums } from './checksum-list.js'
import type { FolderHold } from './folder-hold.js'
import { putInPlace } from './put-in-place.js'

/**
 * Puts papers that wait in the workshop in the place of the former ones; the stems stay. Where the folder has a list of checksums, it goes first,
 * and comes back last with their new lines; a folder that is not complete does not become so.
 * @throws SumwellError WRITE_…; the former papers are there then
 */
export const exchangePapers = (
  { folder, workshop, requireSame }: FolderHold,
  names: readonly [string, ...string[]],
): void => {
  requireSame()
  const place = (name: string) => ({ from: path.join(workshop, name), to: path.join(folder, name) })
  const keep = path.join(workshop, 'former')
  const list = path.join(folder, CHECKSUM_LIST)
  const sums = readChecksums(list)
  if (sums === null) {
    const [first, ...others] = names
    putInPlace({ away: [], placements: others.map(place), seal: place(first), keep })
    return
  }
  const renewed = names.map(name => [name, sha256OfFile(path.join(workshop, name))] as const)
  writeWhole(path.join(workshop, CHECKSUM_LIST), checksumText(new Map([...sums, ...renewed])))
  putInPlace({ away: [list], placements: names.map(place), seal: place(CHECKSUM_LIST), keep })
}
