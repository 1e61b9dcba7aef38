import type { Polarity, Verdict } from '../measure/measurement.js'
import type { ChannelSelection, Depth, WaveFacts } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'

/**
 * All that `render` will do, complete before anything is written; plain data that prints as JSON and can be read back.
 * Positions are frames on the timeline of the stems: frame 0 is where every stem of the song starts.
 */
export interface Plan {
  readonly format: 1
  readonly recipe: string
  readonly song: string
  readonly take: string | null
  readonly temperatureCelsius: number
  readonly tempoBpm: number | null
  /** Absolute folder of delivery. */
  readonly folder: string
  readonly sources: readonly PlannedSource[]
  readonly stems: readonly PlannedStem[]
  /** By how much all blends of the song are turned down for the ceiling: a multiple of 0.5 dB, 0 or more. */
  readonly turnDownDb: number
  readonly ceilingDbtp: number
  readonly warnings: readonly Warning[]
}

/** One recorded file with its move. Groups that are sources do not stand here: their files do, each with its total move. */
export interface PlannedSource {
  /** `group/source`: unique in the plan. */
  readonly key: string
  readonly group: string
  readonly source: string
  /** Absolute, and as shown. */
  readonly file: string
  readonly fileShown: string
  readonly sha256: string
  readonly facts: WaveFacts
  readonly selection: ChannelSelection
  /** Channels after selection. */
  readonly channels: number
  readonly isReference: boolean
  /** Where its first frame lies as recorded, on the timeline: from the time stamps, 0 without. */
  readonly recordedAtSamples: number
  readonly move: Move
}

/** What is done to one source. **Positive shift = moved later.** */
export interface Move {
  /** Total, with the moves of the groups that hold it. A whole number where `resolution: sample`, for the reference, and as recorded. */
  readonly shiftSamples: number
  readonly polarity: Polarity
  readonly verdict: Verdict
  /** Why, in the engineer's words: "late by 1.986 ms, sure", "lag unknown: as recorded". */
  readonly because: string
  /** A shift that changes during the take (`follow`): knots in seconds of the source's own time, straight lines between; null = constant. */
  readonly follow: readonly { readonly atSeconds: number; readonly shiftSamples: number }[] | null
}

export interface PlannedStem {
  /** Name in the recipe: the blend's, or `group_source`. */
  readonly name: string
  readonly kind: 'blend' | 'source'
  readonly group: string
  /** File name, and absolute path. */
  readonly fileName: string
  readonly file: string
  readonly sampleRateHz: number
  readonly channels: number
  readonly depth: Depth
  readonly frames: number
  /** Time stamp written into the file, frames since midnight; null = the sources had none. */
  readonly stampSamples: number | null
  readonly aligned: boolean
  readonly parts: readonly StemPart[]
  /** TPDF dither: arithmetic is followed by a shorter word. False = the values are exact as they are. */
  readonly dither: boolean
  /** Seeds the dither: made from the stem's name and its inputs' hashes. */
  readonly ditherSeed: string
}

/** One source inside a stem. Output = sum of parts: gain x source moved to `atSamples`. */
export interface StemPart {
  /** Key into `Plan.sources`. */
  readonly key: string
  /** Where the source's first frame comes to lie, frames on the timeline, fractional. */
  readonly atSamples: number
  /** Amplitude factor with its sign: share or dB, match, polarity and turn-down in one. Exactly 1 or -1 for a single source. */
  readonly gain: number
  /** The same as recorded: for the comparison before/after. */
  readonly recordedAtSamples: number
  readonly recordedGain: number
  /** For people: the share or dB of the recipe, and the match gain in dB. */
  readonly weightShown: string
  readonly matchGainDb: number
  readonly follow: Move['follow']
}
