import type { SourceMeasurement } from '../measure/measurement.js'
import type { Blend } from '../recipe/session.js'
import * as portable from '../terms/portable.js'
import type { LevelGap } from './kept.js'

/** What the level of one part of a blend is told by. */
export interface PartLevel {
  readonly measured: Pick<SourceMeasurement, 'loudnessLufs' | 'rmsDbfs' | 'frames'>
  readonly sampleRateHz: number
  /** Channels of the part as it was measured. */
  readonly channels: number
}

/** BS.1770 has no value for less than one block. */
const SHORTEST_LOUDNESS_SECONDS = 0.4

/**
 * Gain in dB that brings a part to the level of the reference, before its share is applied. 0 with `match: none`, for the reference
 * itself, and where one of the two has no level (silence).
 *
 * Loudness is BS.1770 integrated; rms takes its place where one of the two has no loudness or is shorter than 400 ms. A mono part of a
 * stereo blend goes to both sides, so it counts as it will sound there: 10 log10(channels) louder than the mono file measures
 * (3.01 LU in stereo). The rms is a mean over channels and needs no such step.
 *
 * @param blendChannels Channels of the blend.
 * @param gap What lies between the two levels: as measured now, or kept from an earlier delivery.
 */
export const matchGainDb = (
  match: Blend['match'],
  part: PartLevel,
  reference: PartLevel,
  blendChannels: number,
  gap: LevelGap = levelGap(part, reference),
): number => {
  if (match === 'none') return 0
  if (match === 'loudness' && gap.loudnessDb !== null) {
    return gap.loudnessDb + (soundsLouderBy(reference, blendChannels) - soundsLouderBy(part, blendChannels))
  }
  return gap.rmsDb ?? 0
}

/** Level of the reference above that of a part, as the files measure. */
export const levelGap = (part: PartLevel, reference: PartLevel): LevelGap => {
  const [ours, theirs] = [loudnessOf(part), loudnessOf(reference)]
  const [oursRms, theirsRms] = [part.measured.rmsDbfs, reference.measured.rmsDbfs]
  return {
    loudnessDb: ours === null || theirs === null ? null : theirs - ours,
    rmsDb: oursRms === null || theirsRms === null ? null : theirsRms - oursRms,
  }
}

const loudnessOf = ({ measured, sampleRateHz }: PartLevel): number | null =>
  measured.frames < SHORTEST_LOUDNESS_SECONDS * sampleRateHz ? null : measured.loudnessLufs

const soundsLouderBy = ({ channels }: PartLevel, blendChannels: number): number =>
  channels === 1 ? 10 * portable.log10(blendChannels) : 0
