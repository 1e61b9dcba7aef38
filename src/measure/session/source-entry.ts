import { msFromSamples } from '../../terms/units.js'
import type { JudgedSource } from '../group/judged-source.js'
import type { SourceMeasurement } from '../measurement.js'
import { NOTHING_OVER_TIME, type OverTime } from '../time/over-time.js'
import * as say from '../verdict/reasons.js'
import { worstOf } from '../verdict/worst-of.js'
import { airMetres } from './air-metres.js'
import type { SessionTrack } from './session-source.js'

/** The entry of the reference: lag 0 by definition; `unknown` where it cannot serve. */
export const referenceEntry = (track: SessionTrack): SourceMeasurement => {
  const verdict = track.scan.silent ? 'unknown' : 'sure'
  return {
    ...healthOf(track),
    startOffsetSamples: 0,
    lagSamples: 0,
    lagUncertaintySamples: 0,
    arrivalSpreadSamples: 0,
    lagMs: 0,
    distanceMetres: 0,
    polarity: 'normal',
    verdict,
    lagVerdict: verdict,
    polarityVerdict: verdict,
    reason: track.scan.silent ? say.referenceSilent() : null,
    coherence: null,
    candidates: [],
    ...NOTHING_OVER_TIME,
  }
}

/** The entry of any other source than the reference, as `measure --json` prints it. */
export const sourceEntry = (
  track: SessionTrack,
  judged: JudgedSource,
  startOffsetSamples: number,
  sampleRateHz: number,
  temperatureCelsius: number,
  overTime: OverTime,
): SourceMeasurement => {
  const { lagSamples } = judged
  return {
    ...healthOf(track),
    startOffsetSamples,
    lagSamples,
    lagUncertaintySamples: judged.uncertaintySamples,
    arrivalSpreadSamples: judged.spreadSamples,
    lagMs: lagSamples === null ? null : msFromSamples(lagSamples, sampleRateHz),
    distanceMetres: airMetres(
      lagSamples,
      track.source.kind === 'file' ? track.source.via : null,
      sampleRateHz,
      temperatureCelsius,
    ),
    polarity: judged.polarity,
    verdict: worstOf([judged.lagVerdict, judged.polarityVerdict]),
    lagVerdict: judged.lagVerdict,
    polarityVerdict: judged.polarityVerdict,
    reason: judged.reason,
    coherence: judged.coherence,
    candidates: judged.candidates,
    ...overTime,
  }
}

const healthOf = ({ source, file, fromGroup, scan }: SessionTrack) => ({
  name: source.name,
  file: fromGroup === null ? file.fileShown : null,
  fromGroup,
  sha256: fromGroup === null ? scan.sha256 : null,
  channels: scan.channels,
  frames: scan.frames,
  bitDepth: fromGroup === null ? file.facts.bitDepth : null,
  loudnessLufs: scan.loudnessLufs,
  rmsDbfs: scan.rmsDbfs,
  samplePeakDbfs: scan.samplePeakDbfs,
  truePeakDbtp: scan.truePeakDbtp,
  dcOffset: scan.dcOffset,
  clippedRuns: scan.clippedRuns,
  hum: scan.hum,
  advice: null,
  slate: null,
  pooled: null,
})
