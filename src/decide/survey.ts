import type { Plan } from './plan.js'

/**
 * What only the audio can tell. `decide` asks where its bounds do not settle a question; the render room answers, by a dry pass over
 * the draft that writes nothing.
 */
export interface Survey {
  /** True peak of every blend of the draft, 8 times oversampled, amplitude (full scale 1, 0 for silence), by file name. */
  blendTruePeaks(draft: Plan): Promise<ReadonlyMap<string, number>>
  /** Sample peak of the named single sources as the draft delivers them, amplitude before rounding, by file name. */
  stemPeaks(draft: Plan, fileNames: readonly string[]): Promise<ReadonlyMap<string, number>>
  /** For every source of the draft that begins before frame 0: what is lost there, by source key. */
  headPeaks(draft: Plan): Promise<ReadonlyMap<string, HeadPeak>>
}

export interface HeadPeak {
  /** Frames of the source before the start of the stems, at least 1, at most all of them. */
  readonly frames: number
  /** Sample peak of these frames in the recording; null = digital silence. */
  readonly peakDbfs: number | null
}
