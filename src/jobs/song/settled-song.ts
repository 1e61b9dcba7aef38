import { createHash } from 'node:crypto'
import { type FileMemory, fileMemory } from '../../lock/cache/file-memory.js'
import { lockPath } from '../../lock/file/lock-path.js'
import type { Session } from '../../recipe/session.js'
import { quietContext } from '../../terms/task.js'
import { type Fingerprint, fingerprintOf } from '../../wave/fingerprint.js'
import { sha256OfFile } from '../../wave/hash.js'
import { type MemoryWish, makerStamp, recordingsIn } from '../memory/memory.js'

/** What a render was made from and what it left, file by file with checksums. */
interface Settled {
  readonly asked: string
  readonly recordings: readonly FileSum[]
  /** The lock and everything in the folder of delivery. */
  readonly left: readonly FileSum[]
  /** Whatever the caller has to tell of the song again. */
  readonly told: unknown
}

type FileSum = readonly [file: string, sha256: string]

/** What else a delivery depends on than the session and its recordings. */
export interface SettledWish {
  readonly memory: MemoryWish
  readonly audio: boolean
  readonly lags: boolean
}

const keyOf = (session: Session): string => `settled 1\n${session.recipeFile}\n${session.take ?? ''}`

/** The recipe's text too: its checksum stands in the report. */
const askedOf = (session: Session, { audio, lags }: SettledWish): string =>
  createHash('sha256')
    .update(JSON.stringify([makerStamp(), session, audio, lags, sha256OfFile(session.recipeFile)]), 'utf8')
    .digest('hex')

interface Looks {
  readonly sounds: FileMemory<Fingerprint>
  readonly sums: FileMemory<string>
}

const looksOf = ({ store, verifySources }: MemoryWish): Looks => ({
  sounds: fileMemory<Fingerprint>(store, 'sound', !verifySources),
  sums: fileMemory<string>(store, 'stem', !verifySources),
})

/** Looks at a file, and into it where that leaves a doubt; null where it cannot be read. Decodes nothing. */
const looked = <Value>(memory: FileMemory<Value>, file: string, look: () => Value): Value | null => {
  const known = memory.recall(file)
  if (known !== null) return known
  const mark = memory.mark(file)
  if (mark === null) return null
  try {
    const value = look()
    memory.remember(file, mark, value)
    return value
  } catch {
    return null
  }
}

const soundSum = ({ sounds }: Looks, file: string): string | null =>
  looked(sounds, file, () => fingerprintOf({ file }, quietContext) as Fingerprint)?.sha256 ?? null

const fileSum = ({ sums }: Looks, file: string): string | null => looked(sums, file, () => sha256OfFile(file))

/**
 * What was told of a song when it was last rendered, if nothing has changed since: the program, the recipe and what it inherits, what is asked for,
 * every recording, the lock, and every file that was left in the folder of delivery. Null: something did, or nobody knows.
 */
export const settledSong = (session: Session, wish: SettledWish): { readonly told: unknown } | null => {
  const { store, force } = wish.memory
  if (store === null || force) return null
  const settled = store.get(keyOf(session))?.value as Settled | undefined
  if (settled === undefined || settled.asked !== askedOf(session, wish)) return null
  const looks = looksOf(wish.memory)
  const stands =
    settled.recordings.every(([file, sha256]) => soundSum(looks, file) === sha256) &&
    settled.left.every(([file, sha256]) => fileSum(looks, file) === sha256)
  return stands ? { told: settled.told } : null
}

/** Remembers a song as it was left; nothing where a file has gone again already. */
export const rememberSettled = (
  session: Session,
  wish: SettledWish,
  delivered: readonly string[],
  told: unknown,
): void => {
  const { store } = wish.memory
  if (store === null) return
  const looks = looksOf({ ...wish.memory, verifySources: false })
  const files = [lockPath(session.recipeFile), ...delivered]
  const recordings = [...new Set(recordingsIn(session))].map(file => [file, soundSum(looks, file)] as const)
  const left = files.map(file => [file, fileSum(looks, file)] as const)
  if ([...recordings, ...left].some(([, sum]) => sum === null)) return
  store.put(keyOf(session), { asked: askedOf(session, wish), recordings, left, told })
}
