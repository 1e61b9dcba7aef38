import { readFileSync } from 'node:fs'
import { type Contents, contentsWith } from '../../lock/cache/contents.js'
import { fileMemory } from '../../lock/cache/file-memory.js'
import { recallFrom } from '../../lock/cache/recall.js'
import { remembered } from '../../lock/cache/remembered.js'
import { rememberedScans } from '../../lock/cache/remembered-scans.js'
import type { Store } from '../../lock/cache/store.js'
import { fileOf } from '../../measure/session/session-source.js'
import { filesOf, type Session } from '../../recipe/session.js'
import { madeAnew, type Recall } from '../../terms/recall.js'
import type { Fingerprint } from '../../wave/fingerprint.js'
import type { SongPool } from '../open-pool.js'
import { tool } from '../tool.js'

/** What a run may take from earlier ones. */
export interface MemoryWish {
  /** Null: nothing is remembered. */
  readonly store: Store | null
  /** Every recording and every stem is read and its checksum made, whatever size and time say. */
  readonly verifySources: boolean
  /** Everything is made anew; what is made is remembered. */
  readonly force: boolean
}

export const noMemory: MemoryWish = { store: null, verifySources: false, force: false }

/** The memory of one run on one song. */
export interface Memory {
  readonly contents: Contents
  readonly recall: Recall
  /** The tasks of these rooms; what was done before for the same sound is not done again. */
  readonly rooms: Pick<SongPool['rooms'], 'measure' | 'render' | 'tone' | 'report'>
}

/** What names the program that made a result. Built code is named by its own checksum, so that a changed program never finds old results. */
export const makerStamp = (): string => {
  try {
    const build = readFileSync(new URL('../../build-id', import.meta.url), 'utf8').trim()
    return `${tool().version} ${build}`
  } catch {
    return `${tool().version} from source`
  }
}

/**
 * Looks into the recordings of a song, those that are not surely known.
 * @throws SumwellError with what made a file unreadable; INTERRUPTED
 */
export const openMemory = async (
  session: Session,
  pool: SongPool,
  { store, verifySources, force }: MemoryWish,
): Promise<Memory> => {
  const files = fileMemory<Fingerprint>(store, 'sound', !verifySources)
  const contents = contentsWith(files, input => pool.rooms.measure.fingerprintOf(input))
  await contents.know(recordingsIn(session))
  if (store === null) return { contents, recall: madeAnew, rooms: pool.rooms }
  const recall = recallFrom(force ? { ...store, get: () => null } : store, makerStamp(), contents)
  const { measure, render, tone, report } = pool.rooms
  return {
    contents,
    recall,
    rooms: {
      measure: rememberedScans(measure, recall, contents),
      render: remembered(render, 'render', ['surveyStem', 'surveyHead', 'surveyQuiet'], recall),
      tone,
      report: remembered(
        report,
        'report',
        ['packedCloseUp', 'passageLooks', 'passage', 'passageRoom', 'waveform'],
        recall,
      ),
    },
  }
}

/** Every recording that a session reads, those of slates too. */
export const recordingsIn = (session: Session): readonly string[] =>
  session.groups.flatMap(group =>
    group.sources.flatMap(source => {
      const own = fileOf(session, source)
      const files = filesOf(own)
      return own.slate === null ? files : [...files, own.slate.file]
    }),
  )
