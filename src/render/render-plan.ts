import path from 'node:path'
import type { Plan } from '../decide/plan.js'
import { isInterrupted } from '../terms/interrupted.js'
import type { Pooled } from '../terms/task.js'
import { checkTargets } from './check-targets.js'
import { deliverFolder, type FormerStem } from './deliver-folder.js'
import { type FolderHold, holdFolder } from './folder-hold.js'
import type { WrittenStem } from './render-stem.js'
import type { RenderedStem } from './rendered.js'
import { requireRoom } from './require-room.js'
import { sideBySide } from './side-by-side.js'
import { stemInput } from './stem-input.js'
import { droppedChunksOf, songWords } from './stem-words.js'
import type { renderTasks } from './tasks.js'

/** Stems that lie in their places already, just as the plan would make them, by file name. */
export type StandingStems = ReadonlyMap<string, WrittenStem>

/** Stems of a plan that are whole and wait beside their places. */
export interface MadeStems {
  /** As they will be delivered, in the order of the plan. */
  readonly rendered: readonly RenderedStem[]
  /**
   * Puts all of them in place, then the papers, which wait in the workshop under their names, then the list of checksums.
   * @throws SumwellError WRITE_…; the former delivery is there then
   */
  deliver(wish: DeliveryWish): readonly FormerStem[]
}

export interface DeliveryWish {
  readonly papers: readonly string[]
  /** Stems of earlier renders that this one does not make are removed. */
  readonly prune: boolean
}

export interface MakingOptions {
  /** Left as they are. */
  readonly standing?: StandingStems
  /** How many tasks may run at a time; changes no bit. */
  readonly threads?: number
}

/** Where a stem lies from when it is whole until it is delivered. */
export const waitingFile = (hold: FolderHold, { fileName }: { readonly fileName: string }): string =>
  path.join(hold.workshop, fileName)

/**
 * Makes every stem of a plan whole in the workshop of a folder that is held. Nothing changes in the folder itself before `deliver`.
 * @throws SumwellError WRITE_OVER_SOURCE, WRITE_DISK_FULL and other WRITE_…, WAVE_…, INTERRUPTED
 */
export const makeStems = async (
  plan: Plan,
  tasks: Pooled<typeof renderTasks>,
  hold: FolderHold,
  { standing = new Map(), threads = 2 }: MakingOptions = {},
): Promise<MadeStems> => {
  checkTargets(plan)
  requireRoom(plan)
  const words = songWords(plan)
  const missing = plan.stems.filter(({ fileName }) => !standing.has(fileName))
  const sets = sideBySide(missing, threads).map(set => set.map(i => missing[i]!))
  const results = await allOrFault(
    sets.map(set =>
      tasks.renderStems(
        set.map(stem => ({ ...stemInput(plan, stem), words, file: waitingFile(hold, stem) })),
      ),
    ),
  ).catch((error: unknown): never => {
    if (!isInterrupted(error)) hold.requireSame() // says why a stem could not be written, where that is why
    throw error
  })
  const made = new Map(sets.flatMap((set, s) => set.map((stem, i) => [stem, results[s]![i]!] as const)))
  const written = plan.stems.map(stem => made.get(stem) ?? standing.get(stem.fileName)!)
  return {
    rendered: plan.stems.map((stem, i) => renderedStem(plan, stem, written[i]!)),
    deliver: wish => {
      checkTargets(plan) // the folder may have changed while the stems were made
      const sums = new Map(plan.stems.map((stem, i) => [stem.fileName, written[i]!.sha256]))
      return deliverFolder(hold, { ...wish, sums, made: missing.map(({ fileName }) => fileName) })
    },
  }
}

/**
 * Makes every stem of a plan and puts them in place, all of them or none. Whatever goes wrong until all are whole leaves the former
 * stems and nothing else. Results are in the order of the plan.
 * @param hold The folder, where the caller holds it already; else it is held for this call.
 * @throws SumwellError as `makeStems`; WRITE_BUSY
 */
export const renderPlan = async (
  plan: Plan,
  tasks: Pooled<typeof renderTasks>,
  hold?: FolderHold,
): Promise<readonly RenderedStem[]> => {
  checkTargets(plan)
  const own = hold ?? holdFolder(plan.folder)
  try {
    const made = await makeStems(plan, tasks, own)
    made.deliver({ papers: [], prune: false })
    return made.rendered
  } finally {
    if (hold === undefined) own.release()
  }
}

// Everything has come to an end before the first fault is told: no task still writes while its folder is cleared away.
const allOrFault = async <Result>(promises: readonly Promise<Result>[]): Promise<readonly Result[]> => {
  const settled = await Promise.allSettled(promises)
  const failed = settled.flatMap(result => (result.status === 'rejected' ? [result.reason as unknown] : []))
  if (failed.length > 0) throw failed.find(reason => !isInterrupted(reason)) ?? failed[0]
  return settled.flatMap(result => (result.status === 'fulfilled' ? [result.value] : []))
}

const renderedStem = (plan: Plan, stem: Plan['stems'][number], written: WrittenStem): RenderedStem => ({
  name: stem.name,
  file: stem.file,
  bytes: written.bytes,
  sha256: written.sha256,
  samplePeakDbfs: written.samplePeakDbfs,
  truePeakDbtp: written.truePeakDbtp,
  loudnessLufs: written.loudnessLufs,
  cuts: stem.parts.flatMap(({ key }) => {
    const headCut = plan.sources.find(source => source.key === key)?.headCut ?? null
    return headCut === null || !stem.aligned ? [] : [{ key, ...headCut }]
  }),
  droppedChunks: droppedChunksOf(stem, plan.sources),
  fades: written.fades,
})
