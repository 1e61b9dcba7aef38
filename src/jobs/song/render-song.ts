import type { Plan } from '../../decide/plan.js'
import type { Session } from '../../recipe/session.js'
import { type FormerStem, PAPERS } from '../../render/deliver-folder.js'
import { type FolderHold, holdFolder } from '../../render/folder-hold.js'
import { type MadeStems, makeStems, waitingFile } from '../../render/render-plan.js'
import type { RenderedStem } from '../../render/rendered.js'
import { refuseChangedSince, statesOf } from '../../render/unchanged.js'
import { buildReport } from '../../report/build-report.js'
import { closeUpsOf } from '../../report/close-up/close-ups-of.js'
import type { Desk } from '../../report/desk/desk.js'
import { deskOf } from '../../report/desk/desk-of.js'
import { type Passages, passagesOf } from '../../report/listen/passages-of.js'
import type { Report } from '../../report/report.js'
import { placesOf, type WrittenReport, writeReport } from '../../report/write-report.js'
import { interrupted } from '../../terms/interrupted.js'
import { toneAudioSeconds } from '../../tone/audio-seconds.js'
import { neighbourWarnings } from '../../tone/neighbours/neighbour-warnings.js'
import { neighboursOfPlan } from '../../tone/neighbours/neighbours-of-plan.js'
import { type GroupLook, toneOfPlan } from '../../tone/tone-of-plan.js'
import { toneWarnings } from '../../tone/tone-warnings.js'
import { sha256OfFile } from '../../wave/hash.js'
import { removeLeftovers } from '../../wave/temporary-name.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { tool } from '../tool.js'
import { type PlannedSong, type PlanOptions, planSong } from './plan-song.js'
import { recordingsOf } from './recordings.js'

export interface RenderedSong extends PlannedSong {
  readonly rendered: readonly RenderedStem[]
  readonly report: Report
  readonly written: WrittenReport
  /** Stems of earlier renders in the same folder that the recipe no longer makes. */
  readonly formerStems: readonly FormerStem[]
}

export interface RenderOptions extends PlanOptions {
  readonly signal: AbortSignal
  /** ISO 8601 time that the report carries; null leaves it out, for reports that must come out the same. */
  readonly madeAt: string | null
  /** Whether report.html holds a passage of each group to listen to. */
  readonly audio: boolean
  /** Stems of earlier renders that the recipe no longer makes are removed, where they are as they were written. */
  readonly prune: boolean
}

/**
 * The whole line for one song: measure, decide, write the stems, compare prediction and result, write the report.
 * @throws SumwellError WAVE_…, WRITE_…, NOT_SURE, INTERRUPTED. Until stems and report are all there the former delivery stays as it is.
 */
export const renderSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
  options: RenderOptions,
): Promise<RenderedSong> => {
  const recipeSha256 = sha256OfFile(session.recipeFile)
  const before = statesOf(recordingsOf(session).map(({ source }) => source.file))
  const planned = await planSong(session, pool, progress, options)
  const hold = holdFolder(planned.plan.folder)
  try {
    removeLeftovers(planned.plan.folder)
    return await renderHeld(planned)
  } finally {
    hold.release()
  }

  async function renderHeld({ measurement, plan }: PlannedSong): Promise<RenderedSong> {
    const { song } = session
    const stemSeconds = plan.stems.reduce((sum, stem) => sum + stem.frames / stem.sampleRateHz, 0)
    const audioSeconds = stemSeconds + toneAudioSeconds(plan, true)
    progress.stage({ song, doing: 'rendering', audioSeconds })
    const desks = new Map<string, Desk>()
    const making = makeStems(plan, pool.rooms.render, hold).then(made => {
      progress.stage({ song, doing: 'comparing the tone', audioSeconds: null })
      return made
    })
    const [made, tone, neighbours, closeUps, passages] = await allDone([
      making,
      toneOfMade(plan, making, hold, pool, look => {
        const desk = deskOf(session, plan, look)
        if (desk !== null) desks.set(look.group, desk)
      }),
      neighboursOfMade(plan, making, hold, pool),
      closeUpsOf(session, measurement, plan, pool.rooms.report),
      options.audio ? passagesOf(session, plan, pool.rooms.report) : SILENT,
    ] as const)
    const { rendered } = made
    progress.stage({ song, doing: 'writing the report', audioSeconds: null })
    await pool.rest() // the report takes memory in this thread
    if (options.signal.aborted) throw interrupted()
    const report = buildReport({
      session,
      measurement,
      plan,
      rendered,
      tone,
      closeUps,
      listens: passages.listens,
      desks,
      tool: tool(),
      made: { at: options.madeAt },
      recipeSha256,
      neighbours,
      moreWarnings: [...toneWarnings(tone), ...neighbourWarnings(neighbours)],
    })
    refuseChangedSince(before)
    writeReport(hold.workshop, report, passages.bytes)
    const formerStems = made.deliver({ papers: PAPERS, prune: options.prune })
    return { session, measurement, plan, rendered, report, written: placesOf(plan.folder), formerStems }
  }
}

// Everything has come to an end before the first fault is told: nothing still writes or reads when the folder is let go.
const allDone = async <Parts extends readonly unknown[]>(
  parts: Parts,
): Promise<{ readonly [Part in keyof Parts]: Awaited<Parts[Part]> }> => {
  await Promise.allSettled(parts)
  return Promise.all(parts)
}

const SILENT: Passages = { listens: new Map(), bytes: new Map() }

/**
 * The tone of stems that still lie in the workshop, or are still being made: the same plan, each stem where it is now. The recordings are
 * looked at as soon as threads are free.
 */
const toneOfMade = (
  plan: Plan,
  making: Promise<MadeStems>,
  hold: FolderHold,
  pool: SongPool,
  look: (group: GroupLook) => void,
) => {
  const rendered = making.then(made => waiting(plan, hold, made.rendered))
  rendered.catch(() => undefined) // told by `making` itself; here nobody may be listening yet
  return toneOfPlan({ ...plan, stems: waiting(plan, hold, plan.stems) }, rendered, pool.rooms.tone, look)
}

/** What the groups do to each other, heard in the stems of the workshop. */
const neighboursOfMade = (plan: Plan, making: Promise<MadeStems>, hold: FolderHold, pool: SongPool) => {
  const rendered = making.then(made => made.rendered)
  rendered.catch(() => undefined)
  return neighboursOfPlan({ ...plan, stems: waiting(plan, hold, plan.stems) }, rendered, pool.rooms.tone)
}

/** Stems, or what was rendered of them, where they lie before they are delivered. */
const waiting = <Stem extends { readonly file: string }>(
  plan: Plan,
  hold: FolderHold,
  stems: readonly Stem[],
): readonly Stem[] => stems.map((stem, i) => ({ ...stem, file: waitingFile(hold, plan.stems[i]!) }))
