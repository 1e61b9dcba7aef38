import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import type { Plan, PlannedStem } from '../../decide/plan.js'
import type { FileMemory } from '../../lock/cache/file-memory.js'
import type { Store } from '../../lock/cache/store.js'
import type { StandingStems } from '../../render/render-plan.js'
import type { WrittenStem } from '../../render/render-stem.js'
import { stemInput } from '../../render/stem-input.js'
import { songWords } from '../../render/stem-words.js'
import { makerStamp } from '../memory/memory.js'
import type { SongPool } from '../open-pool.js'

/** Everything that the bytes of a stem depend on, and nothing of where files lie. */
const keyOf = (plan: Plan, stem: PlannedStem): string => {
  const { sources } = stemInput(plan, stem)
  const input = {
    words: songWords(plan),
    stem: { ...stem, file: null, fileName: null },
    // The reasons of moves, and what a move cuts off, are told and not heard.
    sources: sources.map(({ key, sha256, facts, selection, isReference, group }) => ({
      key,
      sha256,
      facts,
      selection,
      isReference,
      group,
    })),
  }
  const sum = createHash('sha256').update(JSON.stringify(input, withoutPaths()), 'utf8').digest('hex')
  return `${makerStamp()}\nstem\n${sum}`
}

/** The files of pieces by the order in which they come: which of them sounds when matters, and not where it lies. */
const withoutPaths = (): ((key: string, value: unknown) => unknown) => {
  const files: string[] = []
  return (key, value) => {
    if (key !== 'file' || typeof value !== 'string') return value
    if (!files.includes(value)) files.push(value)
    return files.indexOf(value)
  }
}

/** Remembers what a stem came out as. */
export const rememberStem = (store: Store, plan: Plan, stem: PlannedStem, written: WrittenStem): void => {
  store.put(keyOf(plan, stem), written)
}

/** The checksum of a file in a folder of delivery: remembered while nobody wrote to it, else made; null where there is none. */
export const checksumWith =
  (memory: FileMemory<string>, pool: SongPool) =>
  async (file: string): Promise<string | null> => {
    const known = memory.recall(file)
    if (known !== null) return known
    if (!existsSync(file)) return null
    const mark = memory.mark(file)
    const sum = await pool.rooms.render.checksumOf({ file }).catch(() => null)
    if (mark !== null && sum !== null) memory.remember(file, mark, sum)
    return sum
  }

/** The stems of a plan that lie in the folder just as they would be made again: the same plan and sound, and the file is still whole. */
export const standingStems = async (
  plan: Plan,
  store: Store | null,
  checksum: (file: string) => Promise<string | null>,
): Promise<StandingStems> => {
  if (store === null) return new Map()
  const found = await Promise.all(
    plan.stems.map(async stem => {
      const known = store.get(keyOf(plan, stem))?.value as WrittenStem | undefined
      if (known === undefined || (await checksum(stem.file)) !== known.sha256) return []
      return [[stem.fileName, known] as const]
    }),
  )
  return new Map(found.flat())
}
