import type { LevelGap } from '../../decide/kept.js'
import { levelGaps } from '../../decide/level-gaps.js'
import type { Plan } from '../../decide/plan.js'
import type { PieceMeasurement, SongMeasurement, SourceMeasurement } from '../../measure/measurement.js'
import { MEASURE_METHOD } from '../../measure/method.js'
import { fileOf } from '../../measure/session/session-source.js'
import type { FileSource, Session, SessionGroup, SessionSource } from '../../recipe/session.js'
import type { RenderedStem } from '../../render/rendered.js'
import type { BlendTone } from '../../tone/tone.js'
import type { Contents } from '../cache/contents.js'
import type { Lock, LockedGroup, LockedLag, LockedPiece, LockedSource, LockedStem } from '../lock.js'
import { blendSound } from './blend-sound.js'
import { blendsSum } from './blends-sum.js'
import { setupOf } from './setup-of.js'
import { soundOf } from './sound-of.js'
import type { Standing } from './standing.js'

/** What a lock is made from. */
export interface Delivered {
  readonly tool: { readonly version: string }
  readonly session: Session
  /** As it was decided from: with what stood in the former lock. */
  readonly measurement: SongMeasurement
  readonly plan: Plan
  /** In the order of the plan. */
  readonly rendered: readonly RenderedStem[]
  readonly tone: readonly BlendTone[]
  readonly contents: Contents
  readonly standing: readonly Standing[]
  readonly former: Lock | null
  readonly before: Lock['before']
}

/** The part of a lock that is known before anything is written. */
export type PlannedLock = Omit<Lock, 'stems' | 'before'> & {
  readonly stems: Readonly<Record<string, PlannedStemLock>>
}

export type PlannedStemLock = Omit<LockedStem, 'sha256' | 'sound'>

/** The lock as a plan alone tells it: without what only the finished stems have, their checksums and tone. */
export const plannedLock = (
  input: Pick<Delivered, 'tool' | 'session' | 'measurement' | 'plan' | 'contents' | 'standing' | 'former'>,
): PlannedLock => {
  const { session, measurement, plan } = input
  const gaps = levelGaps(session, measurement)
  // A method counts as the lock's as long as anything in it was measured by that.
  const stands = input.standing.some(({ anew, locked }) => anew === null && locked !== null)
  return {
    lock: 1,
    tool: `sumwell ${input.tool.version}`,
    method: stands ? (input.former?.method ?? MEASURE_METHOD) : MEASURE_METHOD,
    song: session.song,
    take: session.take,
    temperatureCelsius: session.temperatureCelsius,
    turnDown: { db: plan.turnDownDb, ceilingDbtp: plan.ceilingDbtp, blends: blendsSum(session) },
    groups: Object.fromEntries(
      session.groups.map(group => [group.name, lockedGroup({ ...input, gaps }, group)] as const),
    ),
    stems: Object.fromEntries(
      plan.stems.map(stem => [
        stem.fileName,
        {
          name: stem.name,
          group: stem.group,
          kind: stem.kind,
          frames: stem.frames,
          aligned: stem.aligned,
          gains: Object.fromEntries(stem.parts.map(({ key, gain }) => [key, gain] as const)),
        },
      ]),
    ),
  }
}

/** The whole lock of what was delivered. */
export const lockOf = (input: Delivered): Lock => {
  const planned = plannedLock(input)
  const stems = input.plan.stems.map((stem, i): readonly [string, LockedStem] => {
    const { sha256, loudnessLufs } = input.rendered[i]!
    const tone = input.tone.find(one => one.blend === stem.name && one.group === stem.group)
    const sound = stem.kind === 'blend' && tone !== undefined ? blendSound(tone, loudnessLufs) : null
    const { name, group, kind, frames, aligned, gains } = planned.stems[stem.fileName]!
    return [stem.fileName, { name, group, kind, sha256, frames, aligned, gains, sound }]
  })
  return { ...planned, stems: Object.fromEntries(stems), before: input.before }
}

type GroupInput = Pick<Delivered, 'session' | 'measurement' | 'plan' | 'contents' | 'standing'> & {
  readonly gaps: ReadonlyMap<string, LevelGap>
}

const lockedGroup = (input: GroupInput, group: SessionGroup): LockedGroup => ({
  reference: group.reference,
  sampleRateHz: group.sampleRateHz,
  searchSeconds: group.align.searchSeconds,
  passage: group.align.passage,
  slate: group.align.slate,
  ...setupOf(group),
  sources: Object.fromEntries(
    group.sources.map(source => [source.name, lockedSource(input, group, source)] as const),
  ),
})

const lockedSource = (input: GroupInput, group: SessionGroup, source: SessionSource): LockedSource => {
  const { session, measurement, plan, contents, gaps, standing } = input
  const file = fileOf(session, source)
  const key = `${group.name}/${source.name}`
  const measured = measurement.groups
    .find(({ name }) => name === group.name)!
    .sources.find(({ name }) => name === source.name)!
  const former = standing.find(one => one.group === group.name && one.source === source.name)
  const kept = former?.balanceStands === true ? former.locked : null
  const gap = gaps.get(key)
  const move = plan.sources.find(planned => planned.key === key)?.move
  const { sha256, audioSha256, format, channel } = soundOf(file, contents)
  return {
    file: source.kind === 'file' ? source.fileShown : null,
    via: source.kind === 'file' ? source.via : null,
    sha256,
    audioSha256,
    format,
    channel,
    ...lagOf(measured),
    ...(measured.pieces === undefined ? {} : { pieces: measured.pieces.map(lockedPiece(file, contents)) }),
    matchLoudnessDb: kept?.matchLoudnessDb ?? gap?.loudnessDb ?? null,
    matchRmsDb: kept?.matchRmsDb ?? gap?.rmsDb ?? null,
    loudnessLufs: measured.loudnessLufs,
    move:
      move === undefined
        ? null
        : move.pieces === undefined
          ? { shiftSamples: move.shiftSamples, polarity: move.polarity, follow: move.follow }
          : {
              shiftSamples: move.shiftSamples,
              polarity: move.polarity,
              follow: null,
              pieces: move.pieces,
            },
  }
}

const lockedPiece =
  (file: FileSource, contents: Contents) =>
  (piece: PieceMeasurement): LockedPiece => {
    const own = file.selection.laid?.pieces[piece.piece - 1]?.file ?? file.file
    const { sha256, audioSha256 } = contents.fingerprint(own)!
    return {
      piece: piece.piece,
      referencePiece: piece.referencePiece,
      file: piece.file,
      sha256,
      audioSha256,
      lagSamples: piece.lagSamples,
      lagUncertaintySamples: piece.lagUncertaintySamples,
      arrivalSpreadSamples: piece.arrivalSpreadSamples,
      polarity: piece.polarity,
      lagVerdict: piece.lagVerdict,
      polarityVerdict: piece.polarityVerdict,
      reason: piece.reason,
      fullness: fullnessOf(piece.candidates),
      likePiece: piece.likePiece,
    }
  }

const fullnessOf = (candidates: SourceMeasurement['candidates']): LockedLag['fullness'] => {
  const fullest = candidates.find(({ aim }) => aim === 'fullness')
  return fullest === undefined ? null : { lagSamples: fullest.lagSamples, polarity: fullest.polarity }
}

const lagOf = (measured: SourceMeasurement) => ({
  startOffsetSamples: measured.startOffsetSamples,
  lagSamples: measured.lagSamples,
  lagUncertaintySamples: measured.lagUncertaintySamples,
  arrivalSpreadSamples: measured.arrivalSpreadSamples,
  polarity: measured.polarity,
  lagVerdict: measured.lagVerdict,
  polarityVerdict: measured.polarityVerdict,
  reason: measured.reason,
  fullness: fullnessOf(measured.candidates),
  drift: measured.drift,
  steps: measured.steps,
  ...(measured.pooled === null ? {} : { pooled: measured.pooled }),
})
