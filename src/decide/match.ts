import type { SourceMeasurement } from '../measure/measurement.js'
import type { Blend } from '../recipe/session.js'
import * as portable from '../terms/portable.js'

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
 */
export const matchGainDb = (
  match: Blend['match'],
  part: PartLevel,
  reference: PartLevel,
  blendChannels: number,
): number => {
  if (match === 'none') return 0
  if (match === 'loudness') {
    const ours = loudnessIn(part, blendChannels)
    const theirs = loudnessIn(reference, blendChannels)
    if (ours !== null && theirs !== null) return theirs - ours
  }
  const ours = part.measured.rmsDbfs
  const theirs = reference.measured.rmsDbfs
  return ours === null || theirs === null ? 0 : theirs - ours
}

const loudnessIn = (
  { measured, sampleRateHz, channels }: PartLevel,
  blendChannels: number,
): number | null => {
  if (measured.loudnessLufs === null || measured.frames < SHORTEST_LOUDNESS_SECONDS * sampleRateHz)
    return null
  return measured.loudnessLufs + (channels === 1 ? 10 * portable.log10(blendChannels) : 0)
}
