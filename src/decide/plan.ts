import type { Polarity, Verdict } from '../measure/measurement.js'
import type { FadeWindow } from '../recipe/pieces/fade-window.js'
import type { PieceWindow, StretchMove } from '../recipe/pieces/piece-windows.js'
import type { Align, ChannelSelection, Depth, WaveFacts } from '../recipe/session.js'
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
  /** In the order of the session: a group that is a source of another comes before it. */
  readonly groups: readonly PlannedGroup[]
  readonly sources: readonly PlannedSource[]
  readonly stems: readonly PlannedStem[]
  /** By how much all blends of the song are turned down for the ceiling: a multiple of 0.5 dB, 0 or more. */
  readonly turnDownDb: number
  readonly ceilingDbtp: number
  readonly warnings: readonly Warning[]
}

/** How one group is lined up, and what that does to it as a whole. */
export interface PlannedGroup {
  readonly name: string
  readonly reference: string
  readonly sampleRateHz: number
  readonly aim: Align['aim']
  readonly hold: Align['hold']
  readonly resolution: Align['resolution']
  readonly follow: Align['follow']
  /**
   * By how much the whole group now is late against the rest of the song, frames at its rate: 0 with `hold: reference`, the wait of the
   * reference with `hold: latest`. Only what this group's own alignment does; the move of a group that holds it comes on top.
   */
  readonly lateSamples: number
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
  /** Frames of this file that its move pushes before frame 0, where they are lost, and their sample peak; null = nothing is cut. */
  readonly headCut: { readonly frames: number; readonly peakDbfs: number | null } | null
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
  /**
   * The moves of a source in pieces, where they differ: each from a frame of its own timeline on. `follow` then has the same as a curve, and
   * `shiftSamples` and `polarity` are those of the piece that is heard longest. Left out where there is one move.
   */
  readonly pieces?: readonly StretchMove[]
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
  /**
   * TPDF dither on the whole stem: arithmetic is followed by a shorter word. False = the values are exact as they are (but for 5 ms fades,
   * which are dithered where they are).
   */
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
  /** Amplitude factor with its sign: share or dB, match, polarity and turn-down in one. Exactly 1 or -1 for a single
   *  source, unless it had to be turned down to fit (warning CLIPPED_STEM). */
  readonly gain: number
  /** The same as recorded: for the comparison before/after. */
  readonly recordedAtSamples: number
  readonly recordedGain: number
  /** For people: the share or dB of the recipe, and the match gain in dB. */
  readonly weightShown: string
  readonly matchGainDb: number
  readonly follow: Move['follow']
  /** Stretches that are moved each for itself, in the order of time: how a part with `Move.pieces` is made. Left out for all others. */
  readonly runs?: readonly PartRun[]
}

/** A stretch of a part that is moved as a whole, with its cross-fades to its neighbours. Frames on the timeline of the stems. */
export interface PartRun extends FadeWindow {
  /** Where frame 0 of the source's own timeline comes to lie, fractional. */
  readonly atSamples: number
  /** On top of the sign of the part's gain. */
  readonly sign: 1 | -1
  /** What sounds in it, on the source's own timeline. */
  readonly windows: readonly PieceWindow[]
}
