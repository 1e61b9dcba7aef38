import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { fault, SumwellError } from '../terms/fault.js'
import { readPlain } from '../terms/plain-file.js'
import { lookUp } from '../wave/file-identity.js'
import { makeFolder } from '../wave/make-folder.js'
import { stopped, writeFault } from '../wave/write-faults.js'

/** One run's right to write into a folder of delivery. */
export interface FolderHold {
  readonly folder: string
  /** Where stems are made; on the same disk, so that putting them in place is one rename each. */
  readonly workshop: string
  /** @throws SumwellError WRITE_FAILED where something else stands in the place of the folder than at the beginning */
  readonly requireSame: () => void
  /** Gives the folder free and removes everything that is not a stem. Safe to call twice. */
  release(): void
}

const HOLD_NAME = '.sumwell-busy'
const WORKSHOP_NAME = '.sumwell-workshop'
/** Names beside the hold, with the number of the process that makes or moves it. */
const LEFT = /^\.sumwell-busy-(\d+)(-former)?$/

/** Who holds a folder. */
interface Holder {
  readonly pid: number
  readonly host: string
  /** Moment at which the process began, in ticks since the machine started; null where the system does not tell. */
  readonly began: string | null
}

/**
 * Takes a folder for this run alone, making it where it is missing. What a killed run left there is removed.
 * @throws SumwellError WRITE_BUSY where another run is at work in it; WRITE_NOT_ALLOWED, WRITE_DISK_FULL, WRITE_FAILED
 */
export const holdFolder = (folder: string): FolderHold => {
  const hold = path.join(folder, HOLD_NAME)
  const workshop = path.join(folder, WORKSHOP_NAME)
  guarded(folder, () => {
    makeFolder(folder)
    if (!claim(hold)) takeOver(folder, hold)
    removeLeft(folder)
  })
  const release = (): void => {
    process.removeListener('exit', release)
    // A thread that is still at work may put a file there in the middle of this; it makes no folder anew.
    fs.rmSync(workshop, { recursive: true, force: true, maxRetries: 5, retryDelay: 20 })
    fs.rmSync(hold, { force: true })
  }
  process.on('exit', release)
  try {
    guarded(workshop, () => {
      fs.rmSync(workshop, { recursive: true, force: true })
      fs.mkdirSync(workshop)
    })
  } catch (error) {
    release()
    throw error
  }
  const mark = lookUp(workshop)
  const requireSame = (): void => {
    const now = lookUp(workshop)
    if (mark !== null && now?.device === mark.device && now.inode === mark.inode) return
    throw stopped(
      folder,
      'the folder of delivery is another one than at the beginning of the run: nothing was put into it',
      'see who moved or linked it meanwhile, then run again',
    )
  }
  return { folder, workshop, requireSame, release }
}

const guarded = (file: string, action: () => void): void => {
  try {
    action()
  } catch (error) {
    throw writeFault(file, error)
  }
}

// The system lets one of two callers make a name that must not be there. By a link the name appears with its text in it.
const claim = (hold: string): boolean => {
  const text = JSON.stringify(ourselves())
  const draft = `${hold}-${process.pid}`
  try {
    fs.writeFileSync(draft, text)
    try {
      fs.linkSync(draft, hold)
    } catch (error) {
      if (codeOf(error) === 'EEXIST') return false
      fs.writeFileSync(hold, text, { flag: 'wx' }) // a disk without links
    }
    return true
  } catch (error) {
    if (codeOf(error) === 'EEXIST') return false
    throw error
  } finally {
    fs.rmSync(draft, { force: true })
  }
}

// A hold whose process is gone is set aside under a name of our own. Of several who try, one gets it; the others find it claimed.
const takeOver = (folder: string, hold: string): void => {
  const holder = readHolder(hold)
  if (holder !== null && isAtWork(holder)) throw busy(folder, holder)
  const aside = `${hold}-${process.pid}-former`
  try {
    fs.renameSync(hold, aside)
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error
  }
  const setAside = readHolder(aside)
  if (setAside !== null && isAtWork(setAside)) {
    fs.renameSync(aside, hold) // somebody was quicker: it is theirs
    throw busy(folder, setAside)
  }
  fs.rmSync(aside, { force: true })
  if (!claim(hold)) throw busy(folder, readHolder(hold))
}

// Drafts, and holds that were set aside, of runs that were killed while they made or moved them.
const removeLeft = (folder: string): void => {
  for (const name of fs.readdirSync(folder)) {
    const [, pid, former] = LEFT.exec(name) ?? []
    if (pid === undefined) continue
    const file = path.join(folder, name)
    const told = readHolder(file)
    // A draft names the run that makes it. Of a hold that is moved, or cut off while it was written, only the number in its name is known.
    const mover = { pid: Number(pid), host: told?.host ?? os.hostname(), began: null }
    if (!isAtWork(former === undefined && told !== null ? told : mover)) fs.rmSync(file, { force: true })
  }
}

const busy = (folder: string, holder: Holder | null): SumwellError => {
  const who = holder === null ? '' : ` (process ${holder.pid} on ${holder.host})`
  return new SumwellError(
    fault('WRITE_BUSY', `another render is at work in this folder${who}`, {
      file: folder,
      mend: `wait until it is done; if there is none, remove ${path.join(folder, HOLD_NAME)}`,
    }),
  )
}

const ourselves = (): Holder => ({ pid: process.pid, host: os.hostname(), began: beginningOf(process.pid) })

/** Null where the file is gone or unreadable: then it holds nothing. */
const readHolder = (file: string): Holder | null => {
  try {
    const { pid, host, began } = JSON.parse(readPlain(file, 65_536).toString('utf8')) as Partial<Holder>
    return typeof pid === 'number' && typeof host === 'string' ? { pid, host, began: began ?? null } : null
  } catch {
    return null
  }
}

// On another machine nobody can tell: it counts as at work. A number that was given to a new process since does not.
const isAtWork = ({ pid, host, began }: Holder): boolean => {
  if (host !== os.hostname()) return true
  try {
    process.kill(pid, 0)
  } catch (error) {
    if (codeOf(error) !== 'EPERM') return false
  }
  const now = beginningOf(pid)
  return began === null || now === null || began === now
}

const beginningOf = (pid: number): string | null => {
  try {
    const text = fs.readFileSync(`/proc/${pid}/stat`, 'utf8')
    // the name of the program, in brackets, may hold anything; the 20th field after it is the start time
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? null
  } catch {
    return null
  }
}

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : ''
