import type { Kept, LevelGap } from '../../decide/kept.js'
import type {
  GroupMeasurement,
  MeasuredLag,
  PieceMeasurement,
  SongMeasurement,
  SourceMeasurement,
  Verdict,
} from '../../measure/measurement.js'
import { airMetres } from '../../measure/session/air-metres.js'
import { worstOf } from '../../measure/verdict/worst-of.js'
import { type Session, type SessionGroup, sourceOfPiece, type Via } from '../../recipe/session.js'
import { signed } from '../../terms/figure-text.js'
import { msFromSamples } from '../../terms/units.js'
import type { Warning } from '../../terms/warning.js'
import type { Lock, LockedLag } from '../lock.js'
import { blendsSum } from './blends-sum.js'
import type { Remeasure, Standing } from './standing.js'

/** A measurement in which what the lock says stands in the place of what was measured now. */
export interface LockedSong {
  readonly measurement: SongMeasurement
  readonly kept: Kept
  readonly warnings: readonly Warning[]
}

/**
 * What is decided from: the lock where it stands, else what was measured. What a newer method would say otherwise is told and not done.
 * Health, and the lag over time as it is drawn, are always those of now.
 */
export const withLock = (
  session: Session,
  measured: SongMeasurement,
  standing: readonly Standing[],
  lock: Lock | null,
  remeasure: Remeasure,
): LockedSong => {
  const warnings: Warning[] = []
  const groups = measured.groups.map((group): GroupMeasurement => {
    const stated = session.groups.find(({ name }) => name === group.name)!
    const sources = group.sources.map(source => {
      const found = standing.find(one => one.group === group.name && one.source === source.name)
      if (found?.locked == null || found.anew !== null || source.name === group.reference) return source
      if (differs(source, found.locked) || isAnyPieceOther(source, found.locked)) {
        warnings.push(keptWarning(group, source, found.locked, lock!.method))
      }
      return asLocked(source, found.locked, stated, session.temperatureCelsius)
    })
    return { ...group, sources }
  })
  return {
    measurement: { ...measured, groups },
    kept: { levels: keptLevels(standing), turnDownDb: keptTurnDown(session, lock, remeasure) },
    warnings,
  }
}

const keptLevels = (standing: readonly Standing[]): ReadonlyMap<string, LevelGap> =>
  new Map(
    standing.flatMap(({ group, source, locked, balanceStands }) =>
      locked === null || !balanceStands
        ? []
        : [[`${group}/${source}`, { loudnessDb: locked.matchLoudnessDb, rmsDb: locked.matchRmsDb }] as const],
    ),
  )

// The step belongs to the blends as the recipe makes them and to its ceiling: where these change it is decided anew.
const keptTurnDown = (session: Session, lock: Lock | null, remeasure: Remeasure): number => {
  if (lock === null || remeasure === 'everything') return 0
  const { db, ceilingDbtp, blends } = lock.turnDown
  return ceilingDbtp === session.deliver.ceilingDbtp && blends === blendsSum(session) ? db : 0
}

const asLocked = (
  now: SourceMeasurement,
  locked: LockedLag,
  group: SessionGroup,
  temperatureCelsius: number,
): SourceMeasurement => {
  const { lagSamples } = locked
  const rate = group.sampleRateHz
  return {
    ...now,
    lagSamples,
    lagUncertaintySamples: locked.lagUncertaintySamples,
    arrivalSpreadSamples: locked.arrivalSpreadSamples,
    lagMs: lagSamples === null ? null : msFromSamples(lagSamples, rate),
    distanceMetres: airMetres(lagSamples, viaOf(now, group), rate, temperatureCelsius),
    polarity: locked.polarity,
    verdict: verdictOf(locked),
    lagVerdict: locked.lagVerdict,
    polarityVerdict: locked.polarityVerdict,
    reason: locked.reason,
    candidates: withPositions(now, locked, group),
    drift: locked.drift,
    steps: locked.steps,
    pooled: locked.pooled ?? null,
    ...(now.pieces === undefined
      ? {}
      : { pieces: now.pieces.map(piece => pieceAsLocked(now, piece, locked, group)) }),
  }
}

const pieceAsLocked = (
  now: SourceMeasurement,
  piece: PieceMeasurement,
  locked: LockedLag,
  group: SessionGroup,
): PieceMeasurement => {
  const found = locked.pieces?.find(
    one => one.piece === piece.piece && one.referencePiece === piece.referencePiece,
  )
  if (found === undefined) return piece
  const { lagSamples, lagUncertaintySamples, arrivalSpreadSamples, polarity } = found
  const { lagVerdict, polarityVerdict, reason, likePiece } = found
  return {
    ...piece,
    ...{ lagSamples, lagUncertaintySamples, arrivalSpreadSamples, polarity },
    ...{ verdict: verdictOf(found), lagVerdict, polarityVerdict, reason, likePiece },
    candidates: withPositions({ ...now, ...piece }, found, group, piece.piece),
  }
}

const viaOf = ({ name }: SourceMeasurement, { sources }: SessionGroup): Via | null => {
  const source = sources.find(candidate => candidate.name === name)
  return source?.kind === 'file' ? source.via : null
}

/** The first position of each aim is the lock's. Where the recipe states a lag, all of them are asked, and those of now serve. */
const withPositions = (
  { name, candidates, lagSamples: nowLag, polarity: nowPolarity }: SourceMeasurement,
  locked: Pick<LockedLag, 'lagSamples' | 'polarity' | 'fullness'>,
  group: SessionGroup,
  piece: number | null = null,
): SourceMeasurement['candidates'] => {
  const source = group.sources.find(one => one.name === name)
  const stated = source === undefined || piece === null ? source : sourceOfPiece(source, piece)
  if (stated?.lag !== 'measured') return candidates
  const { lagSamples, polarity, fullness } = locked
  const first = {
    arrival: lagSamples === null || polarity === null ? null : { lagSamples, polarity },
    fullness,
  }
  // A slate may have settled the lag: then the first position is another one, and rightly so.
  const isUnchanged = (aim: 'arrival' | 'fullness'): boolean =>
    aim === 'arrival' && lagSamples === nowLag && polarity === nowPolarity
  return (['arrival', 'fullness'] as const).flatMap(aim => {
    const now = candidates.filter(candidate => candidate.aim === aim)
    const position = first[aim]
    const known = now[0]?.lagSamples === position?.lagSamples && now[0]?.polarity === position?.polarity
    return position === null || known || isUnchanged(aim)
      ? now
      : [{ aim, ...position, score: now[0]?.score ?? 1 }, ...now.slice(1)]
  })
}

const verdictOf = ({
  lagVerdict,
  polarityVerdict,
}: Pick<LockedLag, 'lagVerdict' | 'polarityVerdict'>): Verdict => worstOf([lagVerdict, polarityVerdict])

/** Two lags that agree within this, or within twice their uncertainty, are one. Frames. */
const SAME_LAG_SAMPLES = 0.1
const SPREAD_PART = 0.25

const differs = (now: MeasuredLag, locked: MeasuredLag): boolean => {
  if (now.lagVerdict !== locked.lagVerdict || now.polarityVerdict !== locked.polarityVerdict) return true
  if (now.polarity !== locked.polarity) return true
  if (now.lagSamples === null || locked.lagSamples === null) return now.lagSamples !== locked.lagSamples
  const uncertainty = Math.max(now.lagUncertaintySamples ?? 0, locked.lagUncertaintySamples ?? 0)
  // Where the lag differs over the octaves, one number for it says no more than this: another source in the group moves it by as much.
  const spread = SPREAD_PART * Math.max(now.arrivalSpreadSamples ?? 0, locked.arrivalSpreadSamples ?? 0)
  return Math.abs(now.lagSamples - locked.lagSamples) > Math.max(SAME_LAG_SAMPLES, 2 * uncertainty, spread)
}

const isAnyPieceOther = ({ pieces = [] }: SourceMeasurement, locked: LockedLag): boolean =>
  pieces.some(piece => {
    const was = locked.pieces?.find(
      one => one.piece === piece.piece && one.referencePiece === piece.referencePiece,
    )
    return was !== undefined && differs(piece, was)
  })

const keptWarning = (
  group: GroupMeasurement,
  now: SourceMeasurement,
  locked: LockedLag,
  method: number,
): Warning => ({
  code: 'LOCK_KEPT',
  group: group.name,
  source: now.name,
  message:
    `The lock says ${told(locked, verdictOf(locked))}; measured now it is ${told(now, now.verdict)}. The recording is the same, ` +
    `so the lock is kept (method ${method}); to take the new one: --remeasure ${group.name}.`,
})

const told = (lag: Pick<LockedLag, 'lagSamples' | 'polarity'>, verdict: string): string =>
  lag.lagSamples === null
    ? verdict
    : `${signed(lag.lagSamples, 1)} frames, ${lag.polarity ?? 'polarity unknown'}, ${verdict}`
