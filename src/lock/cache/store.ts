import { createHash, randomBytes } from 'node:crypto'
import fs from 'node:fs'
import path from 'node:path'
import { deserialize, serialize } from 'node:v8'
import { readPlainIfThere } from '../../terms/plain-file.js'

/** Values under names that say what they were made from. Whatever is wrong with an entry, it is as if it were not there. */
export interface Store {
  readonly folder: string
  /** Null where there is none, or it is damaged: then it is removed. */
  get(key: string): { readonly value: unknown } | null
  /** Plain data and typed arrays. A value that is too large, or a disk that takes none, is let go without a word. */
  put(key: string, value: unknown): void
}

/** What a cache folder holds. */
export interface StoreSize {
  readonly entries: number
  readonly bytes: number
}

/** A larger entry is not worth its room: the sound of a passage of 20 s of eight recordings has 23 MB. */
const LARGEST_ENTRY_BYTES = 64 * 1024 * 1024
/** Room that the entries may take together. */
export const LARGEST_STORE_BYTES = 1024 * 1024 * 1024
/** An entry that is used is marked as used again after so long, so that what is used stays. */
const TOUCH_AFTER_MS = 6 * 3600 * 1000
/** Unfinished files of processes that ended are removed after so long. */
const LEFTOVER_MS = 24 * 3600 * 1000
const ENTRY = /^[0-9a-f]{64}$/
const CHECKSUM_LENGTH = 64

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex')

const placeOf = (folder: string, key: string): string => {
  const name = createHash('sha256').update(key, 'utf8').digest('hex')
  return path.join(folder, 'entries', name.slice(0, 2), name)
}

/**
 * A store in a folder, made when something is put into it. Several processes and machines may use one folder: an entry appears whole, by a
 * rename, and carries its own key and checksum, which are looked at on reading.
 */
export const openStore = (folder: string): Store => ({
  folder,
  get: key => {
    const place = placeOf(folder, key)
    const bytes = readPlainIfThere(place, LARGEST_ENTRY_BYTES + CHECKSUM_LENGTH)
    if (bytes === null) return null
    const entry = readEntry(bytes, key)
    if (entry === null) removeQuietly(place)
    else markUsed(place)
    return entry
  },
  put: (key, value) => {
    const body = serialize({ key, value })
    if (body.length > LARGEST_ENTRY_BYTES) return
    const place = placeOf(folder, key)
    const draft = `${place}.${process.pid}.${randomBytes(6).toString('hex')}`
    try {
      fs.mkdirSync(path.dirname(place), { recursive: true })
      const file = fs.openSync(draft, 'wx', 0o644)
      try {
        fs.writeFileSync(file, sha256(body), 'latin1')
        fs.writeFileSync(file, body)
      } finally {
        fs.closeSync(file)
      }
      fs.renameSync(draft, place)
    } catch {
      removeQuietly(draft)
    }
  },
})

const readEntry = (bytes: Buffer, key: string): { readonly value: unknown } | null => {
  const body = bytes.subarray(CHECKSUM_LENGTH)
  if (body.length === 0 || bytes.toString('latin1', 0, CHECKSUM_LENGTH) !== sha256(body)) return null
  try {
    const entry = deserialize(body) as { readonly key?: unknown; readonly value?: unknown }
    return entry.key === key ? { value: entry.value } : null
  } catch {
    return null // written by an engine whose format this one does not read
  }
}

const markUsed = (place: string): void => {
  try {
    const now = Date.now()
    if (now - fs.statSync(place).mtimeMs > TOUCH_AFTER_MS) fs.utimesSync(place, now / 1000, now / 1000)
  } catch {
    // A folder that others own: they mark it.
  }
}

const removeQuietly = (file: string): void => {
  try {
    fs.rmSync(file, { force: true })
  } catch {
    // Whoever owns it removes it.
  }
}

interface Kept {
  readonly file: string
  readonly bytes: number
  readonly usedMs: number
}

const entriesIn = (folder: string): readonly Kept[] => {
  const root = path.join(folder, 'entries')
  const found: Kept[] = []
  for (const shelf of namesIn(root)) {
    for (const name of namesIn(path.join(root, shelf))) {
      const file = path.join(root, shelf, name)
      const stats = fs.statSync(file, { throwIfNoEntry: false })
      if (stats === undefined) continue
      if (ENTRY.test(name)) found.push({ file, bytes: stats.size, usedMs: stats.mtimeMs })
      else if (Date.now() - stats.mtimeMs > LEFTOVER_MS) removeQuietly(file)
    }
  }
  return found
}

const namesIn = (folder: string): readonly string[] => {
  try {
    return fs.readdirSync(folder)
  } catch {
    return []
  }
}

/** How much a cache folder holds; 0 for one that is not there. */
export const storeSize = (folder: string): StoreSize => {
  const entries = entriesIn(folder)
  return { entries: entries.length, bytes: entries.reduce((sum, { bytes }) => sum + bytes, 0) }
}

/**
 * Removes what was not used for longest until at most `keepBytes` are left; 0 removes all. Safe beside others who read and write: what
 * they miss they make again. Returns what was removed.
 */
export const cleanStore = (folder: string, keepBytes: number): StoreSize => {
  const entries = [...entriesIn(folder)].sort((a, b) => a.usedMs - b.usedMs || (a.file < b.file ? -1 : 1))
  let left = entries.reduce((sum, { bytes }) => sum + bytes, 0)
  let removed = 0
  let removedBytes = 0
  for (const { file, bytes } of entries) {
    if (left <= keepBytes) break
    removeQuietly(file)
    left -= bytes
    removed += 1
    removedBytes += bytes
  }
  return { entries: removed, bytes: removedBytes }
}

/** Once in so long a run looks whether the store has grown too large. */
const SWEEP_AFTER_MS = 12 * 3600 * 1000

/** Keeps a store within its bounds; most calls look at one file and do nothing. */
export const keepStoreSmall = (folder: string): void => {
  const mark = path.join(folder, 'swept')
  try {
    const last = fs.statSync(mark, { throwIfNoEntry: false })
    if (last !== undefined && Date.now() - last.mtimeMs < SWEEP_AFTER_MS) return
    cleanStore(folder, LARGEST_STORE_BYTES)
    fs.mkdirSync(folder, { recursive: true })
    fs.writeFileSync(mark, '')
  } catch {
    // A store that cannot be swept is somebody else's.
  }
}
