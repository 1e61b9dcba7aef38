import type { Polarity } from '../../measure/measurement.js'

/** A view of one moment: `CloseUp` without the others. */
export type CloseUpView = Omit<CloseUp, 'elsewhere'>

/**
 * One loud attack of a group, seen through all its sources, as recorded and as moved. All traces of one close-up share the same
 * frames of the song's timeline and the same scale: each was brought to the level of the reference by its `drawnGainDb`, before and after alike.
 */
export interface CloseUp {
  readonly sampleRateHz: number
  /** Where the attack begins in the reference, seconds on the timeline of the stems as recorded. */
  readonly attackSeconds: number
  /** Time of the first point before the attack, ms: negative. */
  readonly fromMs: number
  /** Distance of two points, ms. */
  readonly stepMs: number
  /** Full scale of the chart: the largest magnitude of all drawn values, 1 = full scale of the file. 0 only for silence. */
  readonly scale: number
  readonly traces: readonly CloseUpTrace[]
  /** Attacks from all through the song, one from each stretch that was looked at, in the order of time; fewer points than in this one. */
  readonly elsewhere: readonly CloseUpView[]
}

export interface CloseUpTrace {
  readonly source: string
  /** The file read; for a source that is a group, the file of that group's reference. */
  readonly file: string
  /** Gain with which the values were drawn, dB; 0 for the reference. */
  readonly drawnGainDb: number
  /** Polarity and shift of the move that leads from `before` to `after`. Positive = moved later, ms. */
  readonly polarity: Polarity
  readonly shiftMs: number
  /** Values after `drawnGainDb`, 1 = full scale; as many in `after` as in `before`. */
  readonly before: readonly number[]
  readonly after: readonly number[]
}
