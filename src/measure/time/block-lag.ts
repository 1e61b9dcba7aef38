/** What one block of the take says. */
export interface BlockLag {
  readonly atSeconds: number
  /** Against the arrival of the whole, frames. */
  readonly lagSamples: number
  readonly errorSamples: number
}

/** Jump of the lag between two blocks. */
export interface LagStep {
  readonly atSeconds: number
  readonly fromSamples: number
  readonly toSamples: number
}
