import { accessSync, constants, existsSync } from 'node:fs'
import path from 'node:path'
import { lockPath } from '../../lock/file/lock-path.js'
import { lockText } from '../../lock/file/lock-text.js'
import { readLock } from '../../lock/file/read-lock.js'
import type { Lock } from '../../lock/lock.js'
import type { PlannedLock } from '../../lock/use/lock-of.js'
import type { Remeasure, Standing } from '../../lock/use/standing.js'
import type { Session } from '../../recipe/session.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { nearestOf } from '../../terms/nearest.js'
import { readPlainIfThere } from '../../terms/plain-file.js'
import { writeWhole } from '../../wave/atomic-file.js'
import { writeFault } from '../../wave/write-faults.js'

/** How a song stands to its lock. */
export interface SongLock {
  readonly path: string
  readonly shown: string
  /** Null where there is none yet. */
  readonly former: Lock | null
  readonly standing: readonly Standing[]
  /** What the lock would say, as far as it is known before anything is written. */
  readonly planned: PlannedLock
}

/** The lock beside a recipe; null where there is none. @throws SumwellError LOCK_UNREADABLE */
export const formerLock = (session: Session): Lock | null => {
  const file = lockPath(session.recipeFile)
  return existsSync(file) ? readLock(file, lockPath(session.recipeShown)) : null
}

/** @throws SumwellError USAGE_ARGUMENTS for a group that the recipe does not have */
export const refuseUnknownGroups = (session: Session, remeasure: Remeasure): void => {
  if (typeof remeasure === 'string') return
  const names = session.groups.map(({ name }) => name)
  const unknown = remeasure.filter(name => !names.includes(name))
  if (unknown.length === 0) return
  throw new SumwellError(
    unknown.map(name =>
      fault('USAGE_ARGUMENTS', `--remeasure: ${session.recipeShown} has no group ${name}`, {
        expected: names.join(', '),
        nearest: nearestOf(name, names),
        mend: 'name a group of the recipe, or give --remeasure alone after the recipe for all of them',
      }),
    ),
  )
}

/** Before anything is made: a lock that cannot be written. @throws SumwellError WRITE_NOT_ALLOWED */
export const requireLockPlace = (file: string): void => {
  try {
    accessSync(path.dirname(file), constants.W_OK)
  } catch (error) {
    throw writeFault(file, error)
  }
}

/** Writes a lock where it says anything new; else the file stays untouched. */
export const writeLock = (file: string, lock: Lock): void => {
  const text = lockText(lock)
  const bytes = Buffer.from(text)
  if (readPlainIfThere(file, bytes.length)?.equals(bytes) === true) return
  writeWhole(file, text)
}
