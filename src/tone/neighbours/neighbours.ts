/**
 * What the groups of a song do to each other where they hold the same sound: the sum of all that is delivered, as recorded and as
 * delivered. Every group counts once, by the stems named in `voices`.
 */
export interface Neighbours {
  readonly voices: readonly { readonly group: string; readonly stems: readonly string[] }[]
  /** Groups of another sample rate than these: they are not in the sum. */
  readonly otherRates: readonly string[]
  /** Of the whole song, lowest first. */
  readonly thirdOctaves: readonly NeighbourBand[]
  /** Stretches of the song in which two groups lose more than 1 dB of what they sum to, worst first. */
  readonly losses: readonly NeighbourLoss[]
}

export interface NeighbourBand {
  readonly centreHz: number
  /** Mean square of the sum of all groups, channels added, dB (a full-scale square wave has 0); null = silence. */
  readonly beforeDb: number | null
  readonly afterDb: number | null
  /**
   * What the sum loses because the groups no longer meet as they did, dB: against the same levels with the same phase between the groups as
   * recorded. Below 0 = gains; null where less than -40 dB of the loudest band sounds.
   */
  readonly lossDb: number | null
}

/** One pair of groups, one third octave, some neighbouring pieces of time in which it loses. */
export interface NeighbourLoss {
  readonly groups: readonly [string, string]
  readonly centreHz: number
  /** The most that is lost in one of the pieces. */
  readonly lossDb: number
  /** On the timeline of the stems. */
  readonly fromSeconds: number
  readonly toSeconds: number
  /** Counted from 1 at the start of the stems, both ends in it; null without a tempo. */
  readonly fromBar: number | null
  readonly toBar: number | null
}
