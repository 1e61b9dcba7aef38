import type { ChannelSelection } from '../recipe/session.js'
import type { Plan } from './plan.js'

/**
 * What only the audio can tell. `decide` asks where its bounds do not settle a question; the render room answers, by a dry pass over
 * the draft that writes nothing.
 */
export interface Survey {
  /** Peaks of the named stems as the draft delivers them, before rounding to their word, by file name. */
  stemPeaks(draft: Plan, fileNames: readonly string[]): Promise<ReadonlyMap<string, StemPeaks>>
  /** For every source of the draft that begins before frame 0 of an aligned stem: what is lost there, by source key. */
  headPeaks(draft: Plan): Promise<ReadonlyMap<string, HeadPeak>>
  /** The quietest place in each of several stretches of recordings, seconds of the file's own time, in the order asked. */
  quietSpots(stretches: readonly Stretch[]): Promise<readonly number[]>
}

/** A stretch of a recording, in seconds of its own time; what lies outside the file counts as silence. */
export interface Stretch {
  readonly file: string
  readonly selection: ChannelSelection
  readonly startSeconds: number
  readonly endSeconds: number
  /** Length of the place that is wanted: its middle is told. */
  readonly lengthSeconds: number
}

/** Amplitudes, full scale 1, 0 for silence. */
export interface StemPeaks {
  readonly samplePeak: number
  /** Largest value between the samples, 8 times oversampled. */
  readonly truePeak: number
}

export interface HeadPeak {
  /** Frames of the source before the start of the stems, at least 1, at most all of them. */
  readonly frames: number
  /** Sample peak of these frames in the recording; null = digital silence. */
  readonly peakDbfs: number | null
}
