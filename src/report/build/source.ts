import type { PlannedSource } from '../../decide/plan.js'
import type { PooledLag, SourceMeasurement } from '../../measure/measurement.js'
import type { SessionSource } from '../../recipe/session.js'
import { msFromSamples } from '../../terms/units.js'
import type { ReportHealth, ReportMeasured, ReportMove, ReportSource } from '../report.js'
import { piecesOf } from './pieces.js'

/** The larger of the two, where there is any. */
const larger = (a: number | null, b: number | null): number | null =>
  a === null ? b : b === null ? a : Math.max(a, b)

const measuredOf = (m: SourceMeasurement): ReportMeasured => ({
  startOffsetSamples: m.startOffsetSamples,
  lagSamples: m.lagSamples,
  lagUncertaintySamples: m.lagUncertaintySamples,
  arrivalSpreadSamples: m.arrivalSpreadSamples,
  shownUncertaintySamples:
    m.lagSamples === null ? null : larger(m.lagUncertaintySamples, m.arrivalSpreadSamples),
  lagMs: m.lagMs,
  distanceMetres: m.distanceMetres,
  polarity: m.polarity,
  verdict: m.verdict,
  lagVerdict: m.lagVerdict,
  polarityVerdict: m.polarityVerdict,
  reason: m.reason,
  coherence: m.coherence,
  candidates: m.candidates.map(c => ({
    aim: c.aim,
    lagSamples: c.lagSamples,
    polarity: c.polarity,
    score: c.score,
  })),
  drift: m.drift === null ? null : { ppm: m.drift.ppm, uncertaintyPpm: m.drift.uncertaintyPpm },
  steps:
    m.steps?.map(s => ({
      atSeconds: s.atSeconds,
      fromLagSamples: s.fromLagSamples,
      toLagSamples: s.toLagSamples,
    })) ?? null,
  pooled: m.pooled === null ? null : pooledOf(m.pooled),
  swaySamples: m.swaySamples,
  lagOverTime:
    m.lagOverTime?.map(l => ({
      atSeconds: l.atSeconds,
      lagSamples: l.lagSamples,
      uncertaintySamples: l.uncertaintySamples,
    })) ?? null,
})

const pooledOf = ({ lagSamples, uncertaintySamples, scatterSamples, used, takes }: PooledLag): PooledLag => ({
  lagSamples,
  uncertaintySamples,
  scatterSamples,
  used,
  takes: takes.map(one => ({
    song: one.song,
    take: one.take,
    isThis: one.isThis,
    state: one.state,
    lagSamples: one.lagSamples,
    lagUncertaintySamples: one.lagUncertaintySamples,
    polarity: one.polarity,
    differsSamples: one.differsSamples,
  })),
})

const healthOf = (m: SourceMeasurement, source: SessionSource, sampleRateHz: number): ReportHealth => ({
  channels: m.channels,
  frames: m.frames,
  seconds: m.frames / sampleRateHz,
  bitDepth: m.bitDepth,
  stampSamples: source.kind === 'file' ? source.facts.stampSamples : null,
  loudnessLufs: m.loudnessLufs,
  rmsDbfs: m.rmsDbfs,
  samplePeakDbfs: m.samplePeakDbfs,
  truePeakDbtp: m.truePeakDbtp,
  dcOffset: m.dcOffset,
  clippedRuns: m.clippedRuns,
  hum: m.hum === null ? null : { frequencyHz: m.hum.frequencyHz, levelDbfs: m.hum.levelDbfs },
})

/** The move of a planned source, in frames and ms of its group's rate. */
export const moveOf = (planned: PlannedSource, sampleRateHz: number): ReportMove => ({
  shiftSamples: planned.move.shiftSamples,
  shiftMs: msFromSamples(planned.move.shiftSamples, sampleRateHz),
  polarity: planned.move.polarity,
  because: planned.move.because,
  follow: planned.move.follow?.map(k => ({ atSeconds: k.atSeconds, shiftSamples: k.shiftSamples })) ?? null,
  headCut:
    planned.headCut === null ? null : { frames: planned.headCut.frames, peakDbfs: planned.headCut.peakDbfs },
})

/** One source: what the recipe says of it, what was measured, what was decided. `planned`: null for a source that is a group. */
export const sourceOf = (input: {
  readonly source: SessionSource
  readonly measurement: SourceMeasurement
  readonly planned: PlannedSource | null
  readonly isReference: boolean
  readonly sampleRateHz: number
}): ReportSource => {
  const { source, measurement, planned, isReference, sampleRateHz } = input
  return {
    name: source.name,
    isReference,
    file: source.kind === 'file' ? source.fileShown : null,
    fromGroup: source.kind === 'group' ? source.group : null,
    via: source.kind === 'file' ? source.via : null,
    toldDistanceMetres: source.distanceMetres,
    stated: {
      lag: typeof source.lag === 'string' ? source.lag : { samples: source.lag.samples },
      polarity: source.polarity,
      nudgeSamples: source.nudgeSamples,
    },
    measured: measuredOf(measurement),
    move: planned === null ? null : moveOf(planned, sampleRateHz),
    health: healthOf(measurement, source, sampleRateHz),
    ...(measurement.pieces === undefined
      ? {}
      : { pieces: piecesOf(measurement.pieces, planned, sampleRateHz) }),
  }
}
