/**
 * The recordings of a group from end to end at few values a second, to be looked at: enough to see which is late and which way round. Their
 * values stand in the page only, packed as whole numbers (`listen/residuals.ts`).
 */
export interface Waveform {
  /** One value stands for so many frames. */
  readonly everyFrames: number
  /** Sound up to here is in it as it was, Hz; a little above it is nothing. */
  readonly bandHz: number
  /** In the order of the close-up: the reference stands first. */
  readonly sources: readonly WaveformSource[]
  /** Largest magnitude of the reference in each of so many equal parts of the timeline, per thousand of the largest of all. */
  readonly overview: readonly number[]
  /** Length of the timeline, seconds. */
  readonly seconds: number
}

export interface WaveformSource {
  /** Of the element in the page that holds it. */
  readonly id: string
  /** As in the close-up. */
  readonly source: string
  /** Frame of the timeline on which its first value stands as recorded. */
  readonly recordedAtSamples: number
  readonly values: number
  /** What one step stands for, 1 = full scale; 0 for silence. */
  readonly step: number
  /** Of its bytes. */
  readonly sha256: string
}
