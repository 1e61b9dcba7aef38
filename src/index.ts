/**
 * Sumwell as a library: what the commands do, as functions that return values. Nothing here prints or ends the process.
 * Every function throws a `SumwellError` with all faults, and nothing else.
 */
import { availableParallelism } from 'node:os'
import type { MemoryWish } from './jobs/memory/memory.js'
import { openPool, type SongPool } from './jobs/open-pool.js'
import { type Progress, silentProgress } from './jobs/progress.js'
import { type CheckedSong, checkSong } from './jobs/song/check-song.js'
import { loadSongs } from './jobs/song/load-songs.js'
import { measureSong } from './jobs/song/measure-song.js'
import { type PlannedSong, type PlanOptions, planSong } from './jobs/song/plan-song.js'
import { type RenderedSong, renderSong } from './jobs/song/render-song.js'
import { openStore } from './lock/cache/store.js'
import type { SongMeasurement } from './measure/measurement.js'
import type { Session } from './recipe/session.js'
import { handoffOf } from './report/handoff-of.js'
import { pageOf } from './report/page-of.js'
import type { Report } from './report/report.js'
import { reportJson } from './report/write-report.js'
import { SumwellError } from './terms/fault.js'
import { asSumwellError } from './terms/internal.js'

export type { Plan } from './decide/plan.js'
export type { Progress, Stage } from './jobs/progress.js'
export type { CheckedGroup, CheckedSong, CheckedSource } from './jobs/song/check-song.js'
export type { PlannedSong } from './jobs/song/plan-song.js'
export type { RenderedSong } from './jobs/song/render-song.js'
export type { Lock } from './lock/lock.js'
export type { GroupMeasurement, SongMeasurement, SourceMeasurement } from './measure/measurement.js'
export type { Session } from './recipe/session.js'
export type { RenderedStem } from './render/rendered.js'
export type { Report } from './report/report.js'
export { type Fault, type Place, SumwellError } from './terms/fault.js'
export { FAULT_CODES, type FaultCode } from './terms/fault-codes.js'
export { faultText } from './terms/fault-text.js'
export { WARNING_CODES, type Warning, type WarningCode } from './terms/warning.js'

export interface SongOptions {
  /** Recordings and targets may lie outside the recipe's folder tree; false by default. */
  readonly allowOutside?: boolean
  /** Threads at most; as many as there are cores by default. */
  readonly jobs?: number
  /** Ends the work where it stands: INTERRUPTED, and nothing half-written is left. */
  readonly signal?: AbortSignal
  readonly progress?: Progress
  /** Used instead of the recipe's take: fills {take}. */
  readonly take?: string
  /** Folder in which results are kept for the next run; none by default. The command keeps them in the system's place for such things. */
  readonly cacheFolder?: string
}

export interface PlanSongOptions extends SongOptions {
  /** Throw NOT_SURE rather than leave a source as recorded; false by default. */
  readonly strict?: boolean
  /** Throw LOCK_DIFFERS, and change nothing, where anything differs from the lock; false by default. */
  readonly locked?: boolean
  /** Groups that are decided anew whatever the lock says; `everything` for all of them. */
  readonly remeasure?: 'everything' | readonly string[]
  /** Take nothing from earlier runs; false by default. */
  readonly force?: boolean
  /** Read every recording, whatever its size and time say; false by default. */
  readonly verifySources?: boolean
}

const memoryOf = (options: PlanSongOptions): MemoryWish => ({
  store: options.cacheFolder === undefined ? null : openStore(options.cacheFolder),
  verifySources: options.verifySources ?? false,
  force: options.force ?? false,
})

const planOptionsOf = (options: PlanSongOptions): PlanOptions => ({
  strict: options.strict ?? false,
  locked: options.locked ?? false,
  remeasure: options.remeasure ?? 'nothing',
  memory: memoryOf(options),
})

/** Checks a recipe and the health of its recordings. Writes nothing. */
export const check = (recipe: string, options: SongOptions = {}): Promise<CheckedSong> =>
  withSong(recipe, options, checkSong)

/** Measures lag, polarity and verdict of every source. Writes nothing. */
export const measure = (recipe: string, options: SongOptions = {}): Promise<SongMeasurement> =>
  withSong(recipe, options, (session, pool, progress) =>
    measureSong(session, pool, progress, memoryOf(options)),
  )

/** Measures and decides every move. Writes nothing. */
export const plan = (recipe: string, options: PlanSongOptions = {}): Promise<PlannedSong> =>
  withSong(recipe, options, (session, pool, progress) =>
    planSong(session, pool, progress, planOptionsOf(options)),
  )

/**
 * The whole line: measures, decides, writes stems and report into the folder of delivery.
 * @param options.audio whether the page holds a passage of each group to listen to; true by default
 * @param options.prune whether stems of earlier renders that the recipe no longer makes are removed; false by default
 * @param options.lags whether the finished stems are measured again for the report; false by default
 * @param options.madeAt ISO 8601 time that the report carries; none by default, so that the same input gives the same report
 */
export const render = (
  recipe: string,
  options: PlanSongOptions & {
    readonly madeAt?: string
    readonly audio?: boolean
    readonly prune?: boolean
    readonly lags?: boolean
  } = {},
): Promise<RenderedSong> =>
  withSong(recipe, options, (session, pool, progress, signal) =>
    renderSong(session, pool, progress, {
      ...planOptionsOf(options),
      signal,
      madeAt: options.madeAt ?? null,
      audio: options.audio ?? true,
      prune: options.prune ?? false,
      lags: options.lags ?? false,
    }),
  )

/** The texts that are drawn from a report alone: report.json, report.html (silent: no report holds sound) and the hand-off sheet. */
export const report = (value: Report): { json: string; page: string; handoff: string } => ({
  json: reportJson(value),
  page: pageOf(value),
  handoff: handoffOf(value),
})

const withSong = async <Result>(
  recipe: string,
  options: SongOptions,
  work: (session: Session, pool: SongPool, progress: Progress, signal: AbortSignal) => Promise<Result>,
): Promise<Result> => {
  const progress = options.progress ?? silentProgress
  const signal = options.signal ?? new AbortController().signal
  const { sessions, wrong } = await loadSongs([recipe], {
    allowOutside: options.allowOutside ?? false,
    take: options.take ?? null,
    ownFolders: false,
  })
  if (wrong.length > 0) throw new SumwellError(wrong.flatMap(({ faults }) => faults))
  const session = sessions[0]!
  const pool = openPool({
    jobs: options.jobs ?? availableParallelism(),
    signal,
    progress: ({ audioSeconds }) => {
      progress.advance(audioSeconds)
    },
  })
  try {
    return await work(session, pool, progress, signal)
  } catch (error) {
    throw asSumwellError(error, `at work on ${recipe}`)
  } finally {
    progress.end()
    await pool.close()
  }
}
