import { join } from 'node:path'
import { fileMemory } from '../../lock/cache/file-memory.js'
import { keepStoreSmall } from '../../lock/cache/store.js'
import { compareTakes } from '../../lock/compare/compare-takes.js'
import { takeBefore, takeOf } from '../../lock/compare/take-before.js'
import type { Lock } from '../../lock/lock.js'
import { stemFaults } from '../../lock/use/differences.js'
import { lockOf } from '../../lock/use/lock-of.js'
import { filesOf, type Session } from '../../recipe/session.js'
import { type FormerStem, PAPERS } from '../../render/deliver-folder.js'
import { holdFolder } from '../../render/folder-hold.js'
import { makeStems, waitingFile } from '../../render/render-plan.js'
import type { RenderedStem } from '../../render/rendered.js'
import { refuseChangedSince, statesOf } from '../../render/unchanged.js'
import { buildReport, type ReportInput } from '../../report/build-report.js'
import { closeUpsOf } from '../../report/close-up/close-ups-of.js'
import { pageSounds, SILENT } from '../../report/listen/page-sounds.js'
import type { Report } from '../../report/report.js'
import { placesOf, type WrittenReport, writeReport } from '../../report/write-report.js'
import { SumwellError } from '../../terms/fault.js'
import { interrupted } from '../../terms/interrupted.js'
import type { Warning } from '../../terms/warning.js'
import { toneAudioSeconds } from '../../tone/audio-seconds.js'
import { neighbourWarnings } from '../../tone/neighbours/neighbour-warnings.js'
import { toneWarnings } from '../../tone/tone-warnings.js'
import { residualLags } from '../../verify/residual-lags.js'
import { sha256OfFile } from '../../wave/hash.js'
import { removeLeftovers } from '../../wave/temporary-name.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { tool } from '../tool.js'
import { type PlannedSong, type PlanOptions, type PreparedSong, planSong } from './plan-song.js'
import { recordingsOf } from './recordings.js'
import { requireLockPlace, writeLock } from './song-lock.js'
import { checksumWith, rememberStem, standingStems } from './standing-stems.js'
import { lyingStems, neighboursOfSong, toneOfSong } from './tone-of-song.js'

export interface RenderedSong extends PlannedSong {
  readonly rendered: readonly RenderedStem[]
  readonly report: Report
  readonly written: WrittenReport
  /** Stems of earlier renders in the same folder that the recipe no longer makes. */
  readonly formerStems: readonly FormerStem[]
  /** What the lock says now. */
  readonly lock: Lock
}

export interface RenderOptions extends PlanOptions {
  readonly signal: AbortSignal
  /** ISO 8601 time that the report carries; null leaves it out, for reports that must come out the same. */
  readonly madeAt: string | null
  /** Whether report.html holds a passage of each group to listen to. */
  readonly audio: boolean
  /** Stems of earlier renders that the recipe no longer makes are removed, where they are as they were written. */
  readonly prune: boolean
  /** The finished stems are measured again, and what is left of the lags stands in the report; left out = they are not. */
  readonly lags?: boolean
}

/**
 * The whole line for one song: measure, decide, write the stems, compare prediction and result, write the report and the lock. What earlier
 * runs did for the same sound, and stems that lie in the folder as they would be made again, are taken from there; the result is the same.
 * @throws SumwellError WAVE_…, WRITE_…, NOT_SURE, LOCK_…, INTERRUPTED. Until stems and report are all there the former delivery stays as it is.
 */
export const renderSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
  options: RenderOptions,
): Promise<RenderedSong> => {
  const recipeSha256 = sha256OfFile(session.recipeFile)
  const statesBefore = statesOf(recordingsOf(session).flatMap(({ source }) => filesOf(source)))
  const planned = await planSong(session, pool, progress, options)
  if (!options.locked) requireLockPlace(planned.lock.path)
  const hold = holdFolder(planned.plan.folder)
  try {
    removeLeftovers(planned.plan.folder)
    return await renderHeld(planned)
  } finally {
    hold.release()
  }

  async function renderHeld({ measurement, plan, lock, memory }: PreparedSong): Promise<RenderedSong> {
    const { song } = session
    const stemSeconds = plan.stems.reduce((sum, stem) => sum + stem.frames / stem.sampleRateHz, 0)
    const audioSeconds = stemSeconds + toneAudioSeconds(plan, true)
    progress.stage({ song, doing: 'rendering', audioSeconds })
    await pool.rest() // what measuring took in each thread is given back
    const { store, force, verifySources } = options.memory
    const sums = fileMemory<string>(store, 'stem', !verifySources)
    const standing = await standingStems(plan, force ? null : store, checksumWith(sums, pool))
    const making = makeStems(plan, pool.rooms.render, hold, { standing, threads: pool.threads }).then(
      made => {
        progress.stage({ song, doing: 'comparing the tone', audioSeconds: null })
        return made
      },
    )
    const lying = lyingStems(plan, making, standing, stem => waitingFile(hold, stem))
    const [made, tone, neighbours, closeUps, sounds] = await allDone([
      making,
      toneOfSong(session, plan, lying, memory),
      neighboursOfSong(session, plan, lying, memory),
      closeUpsOf(session, measurement, plan, memory.rooms.report),
      options.audio ? pageSounds(session, measurement, plan, memory.rooms.report) : SILENT,
    ] as const)
    const { rendered } = made
    progress.stage({ song, doing: 'writing the report', audioSeconds: null })
    const before = takeBefore(session.take, lock.former, lock.standing)
    const about = { session, measurement, plan, rendered, contents: memory.contents, tool: tool() }
    const { former, standing: lockStanding } = lock
    const now = lockOf({ ...about, tone: tone.tones, standing: lockStanding, former, before })
    if (options.locked && former !== null) {
      const sumsNow = new Map(plan.stems.map((stem, i) => [stem.fileName, rendered[i]!.sha256] as const))
      const differing = stemFaults(former, lock.planned, sumsNow, lock.shown)
      if (differing.length > 0) throw new SumwellError(differing)
    }
    const found: ReportInput = {
      session,
      measurement,
      plan,
      rendered,
      tone: tone.tones,
      closeUps,
      waveforms: sounds.waveforms,
      listens: sounds.listens,
      desks: tone.desks,
      compared: before === null ? null : compareTakes(before, takeOf(now)),
      tool: tool(),
      made: { at: options.madeAt },
      recipeSha256,
      sha256Of: file => memory.contents.fingerprint(file)?.sha256 ?? null,
      neighbours,
      moreWarnings: [...toneWarnings(tone.tones), ...neighbourWarnings(neighbours)],
    }
    const fileOf = ({ file }: { readonly file: string }): string =>
      standing.has(file) ? join(plan.folder, file) : waitingFile(hold, { fileName: file })
    const report = options.lags === true ? await withResidualLags(found, fileOf, pool) : buildReport(found)
    await pool.rest() // the page takes memory in this thread
    if (options.signal.aborted) throw interrupted()
    refuseChangedSince(statesBefore)
    writeReport(hold.workshop, report, sounds.bytes)
    const formerStems = made.deliver({ papers: PAPERS, prune: options.prune })
    const written = placesOf(plan.folder)
    if (!options.locked) writeLock(lock.path, now)
    if (store !== null) {
      plan.stems.forEach((stem, i) => {
        const { bytes, sha256, samplePeakDbfs, truePeakDbtp, loudnessLufs, fades } = rendered[i]!
        const mark = sums.mark(stem.file)
        if (mark !== null) sums.remember(stem.file, mark, sha256)
        rememberStem(store, plan, stem, { bytes, sha256, samplePeakDbfs, truePeakDbtp, loudnessLufs, fades })
      })
      keepStoreSmall(store.folder)
    }
    return { session, measurement, plan, rendered, report, written, formerStems, lock: now }
  }
}

/** The report with what is left of the lags, measured on the stems where they lie now. */
const withResidualLags = async (
  found: ReportInput,
  fileOf: (stem: { readonly file: string }) => string,
  pool: SongPool,
): Promise<Report> => {
  const { lags, differences } = await residualLags(buildReport(found), fileOf, pool.rooms.measure)
  const warnings = differences.map(
    ({ group, source, message }): Warning => ({ code: 'LAG_LEFT', group, source, message }),
  )
  return buildReport({
    ...found,
    residualLags: lags,
    moreWarnings: [...(found.moreWarnings ?? []), ...warnings],
  })
}

// Everything has come to an end before the first fault is told: nothing still writes or reads when the folder is let go.
const allDone = async <Parts extends readonly unknown[]>(
  parts: Parts,
): Promise<{ readonly [Part in keyof Parts]: Awaited<Parts[Part]> }> => {
  await Promise.allSettled(parts)
  return Promise.all(parts)
}
