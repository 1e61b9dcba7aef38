import type { Session, SessionGroup } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { Warning } from '../../terms/warning.js'
import type { GroupMember, SpectraProvider } from '../group/group-input.js'
import { type JudgedSource, judgeSource } from '../group/judged-source.js'
import { measureTraces } from '../group/measure-traces.js'
import type { MeasuredTraces } from '../group/measured-traces.js'
import { solveLags } from '../group/solve.js'
import { furtherFindings } from '../health/further-findings.js'
import type { GroupMeasurement } from '../measurement.js'
import { withoutSlates } from '../slate/without-slates.js'
import type { measureTasks } from '../tasks.js'
import { NOTHING_OVER_TIME, type OverTime, overTime } from '../time/over-time.js'
import { groupWarnings } from './group-warnings.js'
import { type SessionTrack, stampOffset } from './session-source.js'
import { referenceEntry, sourceEntry } from './source-entry.js'

export interface MeasuredGroup {
  readonly group: GroupMeasurement
  readonly warnings: readonly Warning[]
}

/** A group's tracks as they were lined up for one attempt, and what came of it. */
export interface Attempt {
  /** Per track: start offset that was taken off, frames. */
  readonly offsets: readonly number[]
  /** Per track; null for the reference. */
  readonly judged: readonly (JudgedSource | null)[]
  readonly overTime: readonly (OverTime | null)[]
  readonly closureSamples: number | null
  /** Null with fewer than two tracks. */
  readonly measured: MeasuredTraces | null
}

/** Measures a group: its lags, then what comparing its sources tells. Where the sound contradicts time stamps, it measures again without those. */
export const measureGroup = async (
  session: Session,
  group: SessionGroup,
  tracks: readonly SessionTrack[],
  tasks: Pooled<typeof measureTasks>,
): Promise<MeasuredGroup> => {
  const reference = tracks.findIndex(t => t.source.name === group.reference)
  const listened = await withoutSlates(group, tracks[reference]!, tasks)
  const attempt = (chosen: readonly SessionTrack[], offsets: readonly number[]): Promise<Attempt> =>
    attemptGroup(listened, chosen, chosen.indexOf(tracks[reference]!), offsets, tasks)
  const stamped = tracks.map(track => stampOffset(track, tracks[reference]!))
  let found = await attempt(tracks, stamped)
  const contradicted = await stampsAgainstSound(tracks, reference, found, attempt)
  if (contradicted.length > 0) {
    found = await attempt(
      tracks,
      stamped.map((offset, i) => (contradicted.includes(i) ? 0 : offset)),
    )
  }
  const further = await furtherFindings(
    { group, tracks, reference, temperatureCelsius: session.temperatureCelsius, ...found },
    tasks,
  )
  const sources = tracks.map((track, i) => {
    const judged = further.judged[i]
    const entry =
      judged === null || judged === undefined
        ? referenceEntry(track)
        : sourceEntry(
            track,
            judged,
            found.offsets[i]!,
            group.sampleRateHz,
            session.temperatureCelsius,
            (judged === found.judged[i] ? found.overTime[i] : null) ?? NOTHING_OVER_TIME,
          )
    return { ...entry, advice: further.advice[i] ?? null, slate: further.slates[i] ?? null }
  })
  return {
    group: {
      name: group.name,
      reference: group.reference,
      sampleRateHz: group.sampleRateHz,
      sources,
      closureSamples: found.closureSamples,
    },
    warnings: [
      ...groupWarnings({
        ...{ session, group, tracks, sources, reference, stamped, contradicted },
        measured: found.measured,
      }),
      ...further.warnings,
    ],
  }
}

/** Measures a group with its tracks lined up by these start offsets, frames, one for each track. */
export const attemptGroup = async (
  group: SessionGroup,
  tracks: readonly SessionTrack[],
  reference: number,
  offsets: readonly number[],
  tasks: Pooled<typeof measureTasks>,
): Promise<Attempt> => {
  const files = tracks.map(({ file }) => ({ file: file.file, selection: file.selection }))
  const provide: SpectraProvider = (plan, segment) => tasks.sumSpectra({ files, plan, segment })
  const members = tracks.map(
    (track, i): GroupMember => ({
      name: track.source.name,
      channels: track.scan.channels,
      frames: track.scan.frames,
      startFrame: offsets[i]!,
      keptSamples: keptSamples(track.source),
    }),
  )
  if (tracks.length < 2)
    return { offsets, judged: tracks.map(() => null), overTime: [], closureSamples: null, measured: null }
  const measured = await measureTraces(
    {
      sampleRateHz: group.sampleRateHz,
      members,
      reference,
      searchSeconds: group.align.searchSeconds,
      passage: group.align.passage,
    },
    provide,
    tasks.estimatePair,
    undefined,
    tasks.searchPair,
  )
  const solved = solveLags(measured)
  const judged = tracks.map((_, i) => (i === reference ? null : judgeSource(measured, solved, i)))
  return {
    offsets,
    judged,
    overTime: judged.map((j, i) => (j?.lagSamples == null ? null : overTime(measured, i, j.lagSamples))),
    closureSamples: solved.closureSamples,
    measured,
  }
}

const keptSamples = ({ lag, polarity }: SessionTrack['source']): number | null =>
  lag === 'as-recorded' && polarity === 'measured' ? 0 : null

/**
 * Tracks whose time stamp the sound contradicts: with the stamp the lag is not sure, without it, it is. Asked only where a
 * stamp moved a track at all and the first answer was not sure.
 */
const stampsAgainstSound = async (
  tracks: readonly SessionTrack[],
  reference: number,
  first: Attempt,
  attempt: (chosen: readonly SessionTrack[], offsets: readonly number[]) => Promise<Attempt>,
): Promise<number[]> => {
  const doubtful = tracks.flatMap((_, i) => {
    const judged = first.judged[i]
    return judged && first.offsets[i] !== 0 && judged.lagVerdict !== 'sure' ? [i] : []
  })
  if (doubtful.length === 0) return []
  const chosen = [tracks[reference]!, ...doubtful.map(i => tracks[i]!)]
  const second = await attempt(
    chosen,
    chosen.map(() => 0),
  )
  return doubtful.filter((_, n) => second.judged[n + 1]?.lagVerdict === 'sure')
}
