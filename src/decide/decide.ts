import type { SongMeasurement } from '../measure/measurement.js'
import type { Session } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import type { Decided } from './blend-parts.js'
import { depthOf } from './depth.js'
import { decideGroup, type GroupDecision } from './group-decision.js'
import { type Kept, nothingKept } from './kept.js'
import { levelGaps } from './level-gaps.js'
import { groupMeasurement } from './lookup.js'
import { placeGroups } from './place.js'
import type { Plan } from './plan.js'
import { headCutWarnings, levelWarnings, spreadWarnings, touchWarnings } from './plan-warnings.js'
import { placedFiles, plannedSource } from './planned-sources.js'
import { plannedStem } from './planned-stems.js'
import { type QuietSteps, quietSteps } from './quiet-steps.js'
import { songTimeline } from './song-timeline.js'
import { stemDrafts } from './stem-drafts.js'
import type { HeadPeak, Survey } from './survey.js'
import { type TurnDown, turnDown } from './turn-down.js'

/**
 * Recipe and measurement become the plan: every move, every stem, every gain, complete before anything is written. The same input gives
 * the same plan, to the last bit.
 *
 * @param survey Asked only where the numbers at hand do not settle the ceiling, for the level of what a move would cut off, and for
 *   quiet places at which steps are followed.
 * @param kept What an earlier delivery settled.
 * @throws SumwellError RECIPE_CHANNEL for a blend of parts that do not fit; INTERNAL where measurement and session do not belong together;
 *   what the survey throws
 */
export const decide = async (
  session: Session,
  measurement: SongMeasurement,
  survey: Survey,
  kept: Kept = nothingKept,
): Promise<Plan> => {
  const quiet = await quietSteps(session, measurement, survey)
  const decided = decideGroups(session, measurement, quiet, kept)
  const planWith = planFrom(decided)
  const draft = planWith(noTurnDown, new Map())
  const heads = losesHead(draft) ? await survey.headPeaks(draft) : new Map<string, HeadPeak>()
  const levels = await turnDown(draft, measurement, survey, kept.turnDownDb)
  const plan = planWith(levels, heads)
  const warnings = [
    ...plan.warnings,
    ...spreadWarnings(plan),
    ...touchWarnings(plan),
    ...headCutWarnings(plan, session),
    ...levelWarnings(plan, levels),
  ]
  return { ...plan, warnings }
}

const noTurnDown: TurnDown = { blendsDb: 0, neededDb: 0, loudest: null, sourcesDb: new Map() }

/** Does a stem take a source from before its own start? */
const losesHead = (plan: Plan): boolean =>
  plan.stems.some(stem => stem.parts.some(part => firstSample(part) < 0))

const firstSample = (part: Plan['stems'][number]['parts'][number]): number =>
  part.follow === null ? part.atSamples : part.recordedAtSamples + part.follow[0]!.shiftSamples

const decideGroups = (
  session: Session,
  measurement: SongMeasurement,
  quiet: QuietSteps,
  kept: Kept,
): Decided => {
  const decisions = new Map<string, GroupDecision>()
  for (const group of session.groups) {
    decisions.set(group.name, decideGroup(group, groupMeasurement(measurement, group.name), decisions, quiet))
  }
  const gaps = new Map(
    [...levelGaps(session, measurement)].map(([key, now]) => {
      const { loudnessDb, rmsDb } = kept.levels.get(key) ?? now
      return [key, { loudnessDb: loudnessDb ?? now.loudnessDb, rmsDb: rmsDb ?? now.rmsDb }] as const
    }),
  )
  return { session, measurement, decisions, places: placeGroups(session, decisions), gaps }
}

const planFrom = (decided: Decided) => {
  const { session, decisions } = decided
  const { deliver } = session
  const drafts = stemDrafts(decided)
  const files = placedFiles(decided)
  const timeline = songTimeline(files, drafts)
  const depth = depthOf(session)
  const warnings: readonly Warning[] = [...decisions.values()].flatMap(decision => decision.warnings)

  return (levels: TurnDown, heads: ReadonlyMap<string, HeadPeak>): Plan => {
    const sources = files.map(file => plannedSource(decided, file, timeline, heads.get(file.key) ?? null))
    const frame = { deliver, depth, timeline, sources: new Map(sources.map(source => [source.key, source])) }
    return {
      format: 1,
      recipe: session.recipeShown,
      song: session.song,
      take: session.take,
      temperatureCelsius: session.temperatureCelsius,
      tempoBpm: session.tempoBpm,
      folder: deliver.folder,
      groups: session.groups.map(({ name, reference, sampleRateHz, align }) => ({
        name,
        reference,
        sampleRateHz,
        aim: align.aim,
        hold: align.hold,
        resolution: align.resolution,
        follow: align.follow,
        lateSamples: decisions.get(name)!.arrivalSamples,
      })),
      sources,
      stems: drafts.map(draft =>
        plannedStem(
          draft,
          frame,
          draft.kind === 'blend' ? levels.blendsDb : (levels.sourcesDb.get(draft.fileName) ?? 0),
        ),
      ),
      turnDownDb: levels.blendsDb,
      ceilingDbtp: deliver.ceilingDbtp,
      warnings,
    }
  }
}
