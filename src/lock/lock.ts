import type { Polarity, PooledLag, Step, Verdict } from '../measure/measurement.js'
import type { StretchMove } from '../recipe/pieces/piece-windows.js'
import type { Align, Via } from '../recipe/session.js'

/**
 * What a song was delivered with: `<recipe>.lock.yaml` (schemas/lock.schema.json). Names are sorted; numbers stand in full precision, so
 * that what was decided from them is decided again to the last bit.
 */
export interface Lock {
  /** Version of this format. */
  readonly lock: 1
  /** Name and version of the program that wrote it. */
  readonly tool: string
  /** Version of the method of measuring: `MEASURE_METHOD`. */
  readonly method: number
  readonly song: string
  readonly take: string | null
  readonly temperatureCelsius: number
  readonly turnDown: LockedTurnDown
  readonly groups: Readonly<Record<string, LockedGroup>>
  readonly stems: Readonly<Record<string, LockedStem>>
  /** The take before; null where there was none. It stays until something is measured anew again. */
  readonly before: TakeBefore | null
}

/** By how much all blends of the song are turned down, and what that was decided for. */
export interface LockedTurnDown {
  readonly db: number
  readonly ceilingDbtp: number
  /** Checksum of how the recipe makes its blends. */
  readonly blends: string
}

export interface LockedGroup {
  readonly reference: string
  readonly sampleRateHz: number
  /** What the measuring went by. */
  readonly searchSeconds: number
  readonly passage: Align['passage']
  readonly slate: boolean
  /** Which other recordings it was pooled with; left out where the recipe names none. Takes are sorted. */
  readonly setup?: { readonly name: string | null; readonly takes: readonly string[] }
  readonly sources: Readonly<Record<string, LockedSource>>
}

/** **Positive lag: late against the reference. Positive shift: moved later.** Frames at the group's rate. */
export interface LockedSource extends LockedSound, LockedLag {
  /** Null for a source that is a group; what is said of its sound is that of the recording that stands for it. */
  readonly file: string | null
  readonly via: Via | null
  /** Gain that brings this source to the level of the reference as both were measured, dB; null where a level is missing. */
  readonly matchLoudnessDb: number | null
  readonly matchRmsDb: number | null
  readonly loudnessLufs: number | null
  /** What was done to it; null for a source that is a group. */
  readonly move: LockedMove | null
}

/** Which sound it is. */
export interface LockedSound {
  /** Of the whole file. */
  readonly sha256: string
  readonly audioSha256: string
  readonly format: string
  /** all, mean, or the number of the one that is used, from 1. */
  readonly channel: string
}

/** What was measured of it. */
export interface LockedLag {
  readonly startOffsetSamples: number
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly arrivalSpreadSamples: number | null
  readonly polarity: Polarity | null
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  readonly reason: string | null
  /** The fullest position; null where none was found. */
  readonly fullness: { readonly lagSamples: number; readonly polarity: Polarity } | null
  readonly drift: { readonly ppm: number; readonly uncertaintyPpm: number } | null
  readonly steps: readonly Step[] | null
  /** What several takes said together, each take by itself too; left out where none were pooled. */
  readonly pooled?: PooledLag
  /** Each piece of a source in pieces, or beside a reference in pieces; left out else. */
  readonly pieces?: readonly LockedPiece[]
}

/** What was measured of one piece: `PieceMeasurement`, with the checksums of its file. */
export interface LockedPiece {
  readonly piece: number
  readonly referencePiece: number | null
  readonly file: string
  readonly sha256: string
  readonly audioSha256: string
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly arrivalSpreadSamples: number | null
  readonly polarity: Polarity | null
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  readonly reason: string | null
  readonly fullness: LockedLag['fullness']
  readonly likePiece: number | null
}

export interface LockedMove {
  readonly shiftSamples: number
  readonly polarity: Polarity
  readonly follow: readonly { readonly atSeconds: number; readonly shiftSamples: number }[] | null
  /** The moves of its pieces, where they differ; `follow` is null then. */
  readonly pieces?: readonly StretchMove[]
}

export interface LockedStem {
  /** As the recipe calls it: a blend's name, or `group_source`. */
  readonly name: string
  readonly group: string
  readonly kind: 'blend' | 'source'
  readonly sha256: string
  readonly frames: number
  readonly aligned: boolean
  /** Amplitude factor of each part, with its sign; by `group/source`. */
  readonly gains: Readonly<Record<string, number>>
  readonly sound: BlendSound | null
}

/** How a blend came out; null for a single source. */
export interface BlendSound {
  readonly loudnessLufs: number | null
  readonly evennessDb: number | null
  readonly firstNotchHz: number | null
  /** Level of wide bands as measured on the written stem, dB, by name. */
  readonly bandsDb: Readonly<Record<string, number>>
}

/** What a comparison needs of the take before. */
export interface TakeBefore {
  readonly take: string | null
  readonly temperatureCelsius: number
  readonly groups: Readonly<Record<string, GroupBefore>>
  /** By `group/blend`. */
  readonly blends: Readonly<Record<string, BlendSound & { readonly group: string }>>
}

export interface GroupBefore {
  readonly reference: string
  readonly sampleRateHz: number
  readonly sources: Readonly<Record<string, SourceBefore>>
}

export interface LagBefore {
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
}

export interface SourceBefore extends LagBefore {
  readonly via: Via | null
  readonly audioSha256: string | null
  readonly loudnessLufs: number | null
  /** Each piece of a source in pieces, or beside a reference in pieces; left out else. */
  readonly pieces?: readonly PieceBefore[]
}

export interface PieceBefore extends LagBefore {
  readonly piece: number
  readonly referencePiece: number | null
}
