import type { Plan, PlannedSource } from '../../decide/plan.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import type { Session, SessionGroup, SessionSource } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { reportTasks } from '../tasks.js'
import type { CloseUp } from './close-up.js'
import type { CloseUpInput } from './close-up-task.js'
import { unpackCloseUp } from './packed-close-up.js'
import type { TracedSource } from './traced-source.js'

/** The planned file that a source is heard through: its own, or for a group that of the group's reference. */
const plannedFor = (
  session: Session,
  plan: Plan,
  group: string,
  source: SessionSource,
): PlannedSource | null => {
  if (source.kind === 'file') return plan.sources.find(p => p.key === `${group}/${source.name}`) ?? null
  const inner = session.groups.find(g => g.name === source.group)
  const reference = inner?.sources.find(s => s.name === inner.reference)
  return reference === undefined ? null : plannedFor(session, plan, source.group, reference)
}

/** Where on the timeline to look: the passage of the recipe in the reference's own time, or all that the reference holds. */
const rangesOf = (group: SessionGroup, reference: PlannedSource): CloseUpInput['ranges'] => {
  const at = Math.round(reference.recordedAtSamples)
  const rate = group.sampleRateHz
  const passage = group.align.passage ?? [{ startSeconds: 0, endSeconds: reference.facts.frames / rate }]
  return passage.map(({ startSeconds, endSeconds }) => ({
    startFrame: at + Math.round(startSeconds * rate),
    endFrame: at + Math.round(endSeconds * rate),
  }))
}

/** What the task needs for one group; null where the plan does not hold its reference. */
export const closeUpInput = (
  session: Session,
  measurement: SongMeasurement,
  plan: Plan,
  group: SessionGroup,
): CloseUpInput | null => {
  const measured = measurement.groups.find(g => g.name === group.name)
  const referenceFirst = [...group.sources].sort(
    (a, b) => Number(b.name === group.reference) - Number(a.name === group.reference),
  )
  const traces = referenceFirst.flatMap((source): readonly TracedSource[] => {
    const planned = plannedFor(session, plan, group.name, source)
    if (planned === null) return []
    return [
      {
        source: source.name,
        file: planned.file,
        fileShown: planned.fileShown,
        selection: planned.selection,
        recordedAtSamples: planned.recordedAtSamples,
        lagSamples: measured?.sources.find(s => s.name === source.name)?.lagSamples ?? 0,
        shiftSamples: planned.move.shiftSamples,
        polarity: planned.move.polarity,
        follow: planned.move.follow,
      },
    ]
  })
  const reference = referenceFirst[0] && plannedFor(session, plan, group.name, referenceFirst[0])
  if (!reference || traces[0]?.source !== group.reference) return null
  return { group: group.name, sampleRateHz: group.sampleRateHz, traces, ranges: rangesOf(group, reference) }
}

/** Close-ups of all groups of a song, by group; groups in which nothing sounds are left out. */
export const closeUpsOf = async (
  session: Session,
  measurement: SongMeasurement,
  plan: Plan,
  tasks: Pooled<typeof reportTasks>,
): Promise<ReadonlyMap<string, CloseUp>> => {
  const inputs = session.groups.flatMap(group => closeUpInput(session, measurement, plan, group) ?? [])
  const done = await Promise.all(
    inputs.map(async input => [input.group, await tasks.packedCloseUp(input)] as const),
  )
  return new Map(
    done.flatMap(([group, found]) => (found === null ? [] : [[group, unpackCloseUp(found)] as const])),
  )
}
