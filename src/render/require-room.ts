import type { Plan } from '../decide/plan.js'
import { depthBytes } from '../wave/encode-samples.js'
import { freeBytes } from '../wave/free-bytes.js'
import { noRoomFault } from '../wave/write-faults.js'

/** Room for the metadata of one stem, more than it ever takes without carried chunks. */
const HEADER_BYTES = 8192

/**
 * Compares what all stems need with what the disk has, before anything is written: until they are put in place, the former stems are
 * there as well. A courtesy only, since others write too; some network disks tell nothing.
 * @throws SumwellError WRITE_DISK_FULL
 */
export const requireRoom = (plan: Plan): void => {
  const needed = plan.stems.reduce(
    (sum, stem) => sum + HEADER_BYTES + stem.frames * stem.channels * depthBytes(stem.depth),
    0,
  )
  const free = freeBytes(plan.folder)
  if (free !== null && needed > free) throw noRoomFault(plan.folder, needed, free)
}
