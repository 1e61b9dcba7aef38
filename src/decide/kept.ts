/** What an earlier delivery settled and a new one keeps, so that a re-take does not change a balance unasked. */
export interface Kept {
  /** By `group/source`. */
  readonly levels: ReadonlyMap<string, LevelGap>
  /** Blends are turned down by at least so much, dB ≥ 0. */
  readonly turnDownDb: number
}

/** Gain that brings a source to the level of the reference of its group, as both were measured, dB; null where a level is missing. */
export interface LevelGap {
  readonly loudnessDb: number | null
  readonly rmsDb: number | null
}

export const nothingKept: Kept = { levels: new Map(), turnDownDb: 0 }
