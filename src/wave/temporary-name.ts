import { createHash } from 'node:crypto'
import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'

/** Eight letters that tell this machine from others that share a disk. */
const machine = (): string => createHash('sha256').update(os.hostname()).digest('hex').slice(0, 8)

const pattern = /^\.sumwell-([0-9a-f]{8})-(\d+)-[0-9a-f]+\.part$/

/** Name of a file that is not whole yet: who writes it stands in it. Short, however long the final name is. */
export const temporaryName = (distinct: string): string =>
  `.sumwell-${machine()}-${process.pid}-${distinct}.part`

const isAlive = (pid: number): boolean => {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
}

/**
 * Removes what a killed run left behind in a folder: temporary files of this machine whose process is gone. Files of other machines, of
 * running processes and everything else are left alone. Returns the paths removed; a folder that does not exist has none.
 */
export const removeLeftovers = (folder: string): readonly string[] => {
  let names: string[]
  try {
    names = fs.readdirSync(folder)
  } catch {
    return []
  }
  return names
    .filter(name => {
      const [, host, pid] = pattern.exec(name) ?? []
      return host === machine() && pid !== undefined && !isAlive(Number(pid))
    })
    .map(name => path.join(folder, name))
    .filter(leftover => {
      try {
        fs.unlinkSync(leftover)
        return true
      } catch {
        return false // another run was quicker, or the folder is read-only: it does no harm
      }
    })
}
