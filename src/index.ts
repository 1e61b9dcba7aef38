/**
 * Sumwell as a library: what the commands do, as functions that return values. Nothing here prints or ends the process.
 * Every function throws a `SumwellError` with all faults, and nothing else. Told with examples in docs/library.md.
 */
import { availableParallelism } from 'node:os'
import type { MemoryWish } from './jobs/memory/memory.js'
import type { SongPool } from './jobs/open-pool.js'
import type { Progress } from './jobs/progress.js'
import { type CheckedSong, checkSong } from './jobs/song/check-song.js'
import { loadSongs } from './jobs/song/load-songs.js'
import { measureSong } from './jobs/song/measure-song.js'
import { type PlannedSong, type PlanOptions, planSong } from './jobs/song/plan-song.js'
import { type RenderedSong, renderSong } from './jobs/song/render-song.js'
import { withPool } from './jobs/with-pool.js'
import { openStore } from './lock/cache/store.js'
import type { SongMeasurement } from './measure/measurement.js'
import type { Session } from './recipe/session.js'
import { handoffOf } from './report/handoff-of.js'
import { pageOf } from './report/page-of.js'
import type { Report } from './report/report.js'
import { reportJson } from './report/write-report.js'
import { fault, SumwellError } from './terms/fault.js'
import { asSumwellError } from './terms/internal.js'
import { interrupted } from './terms/interrupted.js'

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

/** What every function takes beside its recipe. */
export interface SongOptions {
  /** Recordings and targets may lie outside the recipe's folder tree; false by default. */
  readonly allowOutside?: boolean
  /** Threads at most, a whole number from 1; as many as there are cores by default. */
  readonly jobs?: number
  /** Ends the work where it stands: INTERRUPTED, and nothing half-written is left. */
  readonly signal?: AbortSignal
  /** Hears what is being done and how far it is; what is left out is not told. It must not throw. */
  readonly progress?: Partial<Progress>
  /** Used instead of the recipe's take: fills {take}. */
  readonly take?: string
  /** Folder in which results are kept for the next run; none by default. The command keeps them in the system's place for such things. */
  readonly cacheFolder?: string
}

/** What `plan` and `render` take as well. */
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

/** What `render` takes as well. */
export interface RenderSongOptions extends PlanSongOptions {
  /** ISO 8601 time that the report carries; none by default, so that the same input gives the same report. */
  readonly madeAt?: string
  /** Whether the page holds a passage of each group to listen to; true by default. */
  readonly audio?: boolean
  /** Whether stems of earlier renders that the recipe no longer makes are removed; false by default. */
  readonly prune?: boolean
  /** Whether the finished stems are measured again for the report; false by default. */
  readonly lags?: boolean
}

/** The texts that are drawn from a report alone. */
export interface ReportTexts {
  /** report.json, as a render writes it. */
  readonly json: string
  /** report.html, silent: no report holds sound. */
  readonly page: string
  /** handoff.md, the sheet for the mix engineer. */
  readonly handoff: string
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

/**
 * Checks a recipe and the health of its recordings. Writes nothing.
 * @param recipe path of a recipe file; relative to the working folder
 * @throws SumwellError USAGE_ARGUMENTS, RECIPE_…, WAVE_…, INTERRUPTED
 */
export const check = (recipe: string, options: SongOptions = {}): Promise<CheckedSong> =>
  withSong(recipe, options, checkSong)

/**
 * Measures lag, polarity and verdict of every source: **positive lag = late against the reference**, in frames at the group's rate.
 * Writes nothing but what `cacheFolder` keeps. Does not look at the lock.
 * @param recipe path of a recipe file
 * @throws SumwellError as `check` does
 */
export const measure = (recipe: string, options: SongOptions = {}): Promise<SongMeasurement> =>
  withSong(recipe, options, (session, pool, progress) =>
    measureSong(session, pool, progress, memoryOf(options)),
  )

/**
 * Measures and decides every move, from the lock beside the recipe where that stands: what a render would do. Plain data; writes nothing
 * but what `cacheFolder` keeps.
 * @param recipe path of a recipe file
 * @throws SumwellError as `check` does; NOT_SURE with `strict`; LOCK_…
 */
export const plan = (recipe: string, options: PlanSongOptions = {}): Promise<PlannedSong> =>
  withSong(recipe, options, async (asked, pool, progress) => {
    const planned = await planSong(asked, pool, progress, planOptionsOf(options))
    return { session: planned.session, measurement: planned.measurement, plan: planned.plan }
  })

/**
 * The whole line: measures, decides, writes stems, report and lock. Until all is whole the former delivery stays as it is.
 * @param recipe path of a recipe file
 * @throws SumwellError as `plan` does; WRITE_…
 */
export const render = (recipe: string, options: RenderSongOptions = {}): Promise<RenderedSong> =>
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

/** Draws the texts of a report, such as `(await render(recipe)).report` or a report.json that was read. Pure: reads and writes nothing. */
export const report = (value: Report): ReportTexts => ({
  json: reportJson(value),
  page: pageOf(value),
  handoff: handoffOf(value),
})

const withSong = async <Result>(
  recipe: string,
  options: SongOptions,
  work: (session: Session, pool: SongPool, progress: Progress, signal: AbortSignal) => Promise<Result>,
): Promise<Result> => {
  const signal = options.signal ?? new AbortController().signal
  const progress = wholeProgress(options.progress ?? {})
  try {
    if (signal.aborted) throw interrupted()
    const session = await sessionOf(recipe, options)
    const jobs = threadsOf(options.jobs)
    return await withPool({ jobs, signal, progress }, pool => work(session, pool, progress, signal))
  } catch (error) {
    throw asSumwellError(error, `at work on ${recipe}`)
  } finally {
    progress.end()
  }
}

const sessionOf = async (recipe: string, options: SongOptions): Promise<Session> => {
  const { sessions, wrong } = await loadSongs([recipe], {
    allowOutside: options.allowOutside ?? false,
    take: options.take ?? null,
    ownFolders: false,
  })
  if (wrong.length > 0) throw new SumwellError(wrong.flatMap(({ faults }) => faults))
  return sessions[0]!
}

const threadsOf = (jobs: number = availableParallelism()): number => {
  if (Number.isInteger(jobs) && jobs >= 1) return jobs
  throw new SumwellError(
    fault('USAGE_ARGUMENTS', `jobs cannot be ${jobs}`, {
      expected: 'a whole number from 1',
      mend: 'leave it out for one thread per core',
    }),
  )
}

const wholeProgress = (given: Partial<Progress>): Progress => ({
  stage: stage => given.stage?.(stage),
  advance: audioSeconds => given.advance?.(audioSeconds),
  end: () => given.end?.(),
})
