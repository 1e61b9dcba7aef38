import fs from 'node:fs'
import { fault, SumwellError } from '../terms/fault.js'

/** Which file on which disk, and its state: any write changes size or time. */
export interface FileIdentity {
  readonly device: bigint
  readonly inode: bigint
  readonly bytes: bigint
  /** Time of the last write, nanoseconds since 1970. */
  readonly modifiedNs: bigint
}

/** What tells whether a file is the one that it was. */
export const identityOf = (stats: fs.BigIntStats): FileIdentity => ({
  device: stats.dev,
  inode: stats.ino,
  bytes: stats.size,
  modifiedNs: stats.mtimeNs,
})

/** The same file, and not written to in between. */
export const sameIdentity = (a: FileIdentity, b: FileIdentity): boolean =>
  sameFile(a, b) && a.bytes === b.bytes && a.modifiedNs === b.modifiedNs

/** The same file under whatever name, link or spelling. */
const sameFile = (a: FileIdentity, b: FileIdentity): boolean => a.device === b.device && a.inode === b.inode

/** The file under a path now, links followed; null where there is none within reach. */
export const lookUp = (path: string): FileIdentity | null => {
  try {
    return identityOf(fs.statSync(path, { bigint: true }))
  } catch {
    return null
  }
}

/**
 * Refuses to write to `target` where that is one of the sources: by path, by link, by hard link or by another spelling
 * (device and inode are compared). A target that does not exist yet is never refused.
 * @throws SumwellError WRITE_OVER_SOURCE
 */
export const refuseOverSource = (target: string, sources: readonly string[]): void => {
  const there = lookUp(target)
  if (there === null) return
  const source = sources.find(path => {
    const identity = lookUp(path)
    return identity !== null && sameFile(identity, there)
  })
  if (source === undefined) return
  throw new SumwellError(
    fault('WRITE_OVER_SOURCE', `a stem would be written over the source ${source}`, {
      file: target,
      expected: 'a file that is none of the sources',
      mend: 'choose another deliver.folder or deliver.name',
    }),
  )
}
