import type { Session, SessionGroup } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import { adviceFor } from '../advice/advice.js'
import { type JudgedSource, NO_LAG } from '../group/judged-source.js'
import type { PieceMeasurement, SourceMeasurement } from '../measurement.js'
import { groupWarnings } from '../session/group-warnings.js'
import { attemptGroup, type MeasuredGroup } from '../session/measure-group.js'
import { type SessionTrack, stampOffset } from '../session/session-source.js'
import { referenceEntry, sourceEntry } from '../session/source-entry.js'
import type { measureTasks } from '../tasks.js'
import { NOTHING_OVER_TIME, type OverTime } from '../time/over-time.js'
import { worstOf } from '../verdict/worst-of.js'
import { likeNeighbours } from './like-neighbour.js'
import { isSilentPiece, pieceEntry, referencePieces } from './piece-entry.js'
import { framesIn, type PieceRun, type PieceUnit, pieceRuns } from './piece-runs.js'
import { heardPieces, isInPieces, passageOf, pieceTrack } from './piece-tracks.js'
import { pieceWarnings } from './piece-warnings.js'

/** What one run told of one piece. */
interface MeasuredUnit {
  readonly unit: PieceUnit
  readonly judged: JudgedSource
  /** In the time of the whole reference. */
  readonly overTime: OverTime
}

/**
 * Measures a group of which some sources, perhaps the reference itself, are in pieces. Each piece is measured against the piece of the
 * reference with which it is heard, by all tracks that sound over that time; then each source is told as a whole.
 */
export const measureInPieces = async (
  session: Session,
  group: SessionGroup,
  tracks: readonly SessionTrack[],
  tasks: Pooled<typeof measureTasks>,
): Promise<MeasuredGroup> => {
  const reference = tracks.findIndex(track => track.source.name === group.reference)
  const stamped = tracks.map(track => stampOffset(track, tracks[reference]!))
  const runs = pieceRuns(heardPieces(tracks, tracks[reference]!), reference, group.sampleRateHz)
  const units: MeasuredUnit[] = []
  let closure: { readonly frames: number; readonly samples: number | null } = { frames: 0, samples: null }
  for (const run of runs) {
    const found = await measureRun(group, tracks, reference, stamped, run, tasks)
    units.push(...found.units)
    const frames = framesIn(run.spans)
    if (frames > closure.frames) closure = { frames, samples: found.closureSamples }
  }
  const sources = tracks.map((track, i) =>
    i === reference
      ? referenceInPieces(track)
      : sourceInPieces(session, group, tracks, i, stamped[i]!, reference, units),
  )
  const findings = { session, group, tracks, sources, reference, stamped, contradicted: [], measured: null }
  return {
    group: {
      name: group.name,
      reference: group.reference,
      sampleRateHz: group.sampleRateHz,
      sources,
      closureSamples: closure.samples,
    },
    warnings: [...groupWarnings(findings), ...pieceWarnings(session, group, sources)],
  }
}

const measureRun = async (
  group: SessionGroup,
  tracks: readonly SessionTrack[],
  reference: number,
  stamped: readonly number[],
  run: PieceRun,
  tasks: Pooled<typeof measureTasks>,
): Promise<{ readonly units: readonly MeasuredUnit[]; readonly closureSamples: number | null }> => {
  const members = run.pieces.flatMap((piece, i) => (piece === null ? [] : [pieceTrack(tracks[i]!, i, piece)]))
  const start = members.find(({ index }) => index === reference)!.fileStart
  const passage = passageOf(run, group.align.passage, start, group.sampleRateHz)
  const found = await attemptGroup(
    { ...group, align: { ...group.align, passage } },
    members.map(({ track }) => track),
    members.findIndex(({ index }) => index === reference),
    members.map(({ index, fileStart }) => fileStart + stamped[index]! - start),
    tasks,
  )
  const units = run.units.flatMap((unit): readonly MeasuredUnit[] => {
    const at = members.findIndex(({ index }) => index === unit.track)
    const judged = found.judged[at] ?? null
    if (judged === null) return []
    const overTime = found.overTime[at] ?? NOTHING_OVER_TIME
    return [{ unit, judged, overTime: laterBy(overTime, start / group.sampleRateHz) }]
  })
  return { units, closureSamples: found.closureSamples }
}

const laterBy = (told: OverTime, seconds: number): OverTime => {
  const later = <At extends { readonly atSeconds: number }>(one: At): At => ({
    ...one,
    atSeconds: one.atSeconds + seconds,
  })
  return {
    ...told,
    steps: told.steps?.map(later) ?? null,
    lagOverTime: told.lagOverTime?.map(later) ?? null,
  }
}

const referenceInPieces = (track: SessionTrack): SourceMeasurement => {
  const entry = referenceEntry(track)
  return isInPieces(track) ? { ...entry, pieces: referencePieces(track, entry) } : entry
}

const sourceInPieces = (
  session: Session,
  group: SessionGroup,
  tracks: readonly SessionTrack[],
  index: number,
  startOffset: number,
  reference: number,
  units: readonly MeasuredUnit[],
): SourceMeasurement => {
  const track = tracks[index]!
  const isReferenceInPieces = isInPieces(tracks[reference]!)
  const own = units
    .filter(({ unit }) => unit.track === index)
    .sort((a, b) => a.unit.spans[0]!.startFrame - b.unit.spans[0]!.startFrame)
  const pieces = likeNeighbours(
    own.map(({ unit, judged }) => pieceEntry(track, unit, judged, startOffset, isReferenceInPieces)),
    group.sampleRateHz,
    piece => isSilentPiece(track, piece),
  )
  const main = own.reduce<MeasuredUnit | null>(
    (longest, one) =>
      longest === null || framesIn(one.unit.spans) > framesIn(longest.unit.spans) ? one : longest,
    null,
  )
  const judged = main?.judged ?? NOT_MEASURED
  const entry = sourceEntry(
    track,
    judged,
    startOffset,
    group.sampleRateHz,
    session.temperatureCelsius,
    joined(own.map(({ overTime }) => overTime)),
  )
  const advice = adviceFor({
    track,
    reference: tracks[reference]!,
    judged,
    sampleRateHz: group.sampleRateHz,
    temperatureCelsius: session.temperatureCelsius,
  })
  const told = { ...entry, advice, ...verdictsOf(pieces, entry) }
  return isReferenceInPieces || isInPieces(track) ? { ...told, pieces } : told
}

/** Never heard together with the reference. */
const NOT_MEASURED: JudgedSource = {
  ...NO_LAG,
  reason: 'is never heard together with the reference: check where the pieces lie (at:)',
  coherence: null,
  best: null,
}

/** Blocks of all pieces in the order of time. A drift is told only of a source that has one lag. */
const joined = (parts: readonly OverTime[]): OverTime => {
  const [first = NOTHING_OVER_TIME] = parts
  if (parts.length <= 1) return first
  const all = <Key extends 'steps' | 'lagOverTime'>(key: Key) =>
    parts
      .flatMap(part => [...(part[key] ?? [])] as NonNullable<OverTime[Key]>[number][])
      .sort((a, b) => a.atSeconds - b.atSeconds)
  const lagOverTime = all('lagOverTime')
  return {
    drift: null,
    steps: all('steps'),
    swaySamples: parts.reduce<number | null>(
      (most, { swaySamples }) => (swaySamples === null ? most : Math.max(most ?? 0, swaySamples)),
      null,
    ),
    lagOverTime: lagOverTime.length === 0 ? null : lagOverTime,
  }
}

/** The worst of the pieces; one that is lined up like its neighbour is as good as that. */
const verdictsOf = (
  pieces: readonly PieceMeasurement[],
  entry: SourceMeasurement,
): Pick<SourceMeasurement, 'verdict' | 'lagVerdict' | 'polarityVerdict' | 'reason'> => {
  const own = pieces.filter(({ likePiece }) => likePiece === null)
  if (own.length === 0) return entry
  const lagVerdict = worstOf(own.map(piece => piece.lagVerdict))
  const polarityVerdict = worstOf(own.map(piece => piece.polarityVerdict))
  const verdict = worstOf([lagVerdict, polarityVerdict])
  const worst = own.find(piece => piece.verdict === verdict)!
  const name = own.length === 1 || worst.reason === null ? '' : `piece ${worst.piece}: `
  return {
    verdict,
    lagVerdict,
    polarityVerdict,
    reason: worst.reason === null ? null : `${name}${worst.reason}`,
  }
}
