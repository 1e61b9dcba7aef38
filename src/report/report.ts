import type { Polarity, PooledLag, Verdict } from '../measure/measurement.js'
import type { Depth, Via } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import type { Neighbours } from '../tone/neighbours/neighbours.js'
import type { BlendTone } from '../tone/tone.js'
import type { CloseUp } from './close-up/close-up.js'
import type { Comparison } from './compared/comparison.js'
import type { Desk } from './desk/desk.js'
import type { Listen } from './listen/listen.js'
import type { Waveform } from './waveform/waveform.js'

/**
 * `report.json`, format 1 (schemas/report.schema.json). The page and the terminal summary are drawn from it alone.
 * Every field is always there, null where it has no value; the order is fixed; no NaN. Only `made` may differ between two runs over
 * the same recipe and recordings, on any machine: no absolute path stands in here.
 */
export interface Report {
  readonly format: 1
  readonly tool: { readonly name: 'sumwell'; readonly version: string }
  /** What may differ between runs. `at`: ISO 8601 time, null unless the caller gave one. */
  readonly made: { readonly at: string | null }
  readonly song: string
  readonly take: string | null
  /** File name without its folder, and the checksum of its text; null where the caller did not give it. */
  readonly recipe: { readonly file: string; readonly sha256: string | null }
  readonly tempoBpm: number | null
  readonly temperatureCelsius: number
  /** In dry air at that temperature: what turns lag into distance. */
  readonly speedOfSoundMetresPerSecond: number
  /** What changed since the take before; null where none is known. */
  readonly compared: Comparison | null
  readonly delivery: ReportDelivery
  readonly groups: readonly ReportGroup[]
  /** The sum of all groups, as recorded and as delivered; null where there are not two, or nothing was written. */
  readonly neighbours: Neighbours | null
  /** What is left of the lags, measured again on the stems; null where that was not asked for. */
  readonly residualLags: readonly ResidualLag[] | null
  readonly stems: readonly ReportStem[]
  readonly files: readonly ReportFile[]
  /** Those that need a person's decision first, then the rest, each in the order in which they were found. */
  readonly warnings: readonly Warning[]
}

/** **Positive lag: this stem is late against the reference's.** Frames at the group's rate. */
export interface ResidualLag {
  readonly group: string
  readonly source: string
  /** What the delivery leaves on purpose: 0 where a source was lined up, its nudge, or its lag where it stayed as recorded. */
  readonly meantSamples: number | null
  readonly lagSamples: number | null
  readonly uncertaintySamples: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
}

/** What holds for all stems of the song. */
export interface ReportDelivery {
  /** By how much all blends were turned down for the ceiling, dB: 0 or more. */
  readonly turnDownDb: number
  readonly ceilingDbtp: number
  /** Time stamp that all stems carry, frames since midnight at `stampRateHz`; null = the sources had none. */
  readonly stampSamples: number | null
  readonly stampRateHz: number | null
}

export interface ReportGroup {
  readonly name: string
  readonly reference: string
  readonly sampleRateHz: number
  readonly align: {
    readonly aim: 'arrival' | 'fullness'
    readonly hold: 'reference' | 'latest'
    readonly resolution: 'fraction' | 'sample'
    readonly follow: 'nothing' | 'drift' | 'steps'
    readonly searchSeconds: number
    readonly passage: readonly { readonly startSeconds: number; readonly endSeconds: number }[] | null
  }
  /** By how much the whole group now is late against the rest of the song, frames: the wait of `hold: latest`, else 0. */
  readonly lateSamples: number
  /** Root mean square disagreement of the pairs, frames. */
  readonly closureSamples: number | null
  /** The worst of its sources' verdicts. */
  readonly verdict: Verdict
  readonly sources: readonly ReportSource[]
  readonly closeUp: CloseUp | null
  /** The group from end to end, for a close-up of any moment; null where the page holds no sound, or the song is too long for it. */
  readonly waveform: Waveform | null
  /** The passage that the page plays; null where it holds no sound. */
  readonly listen: Listen | null
  /** null where no blend lines anything up. */
  readonly desk: Desk | null
  readonly blends: readonly ReportBlend[]
}

export interface ReportSource {
  readonly name: string
  readonly isReference: boolean
  /** As the recipe writes it; null for a source that is a group. */
  readonly file: string | null
  readonly fromGroup: string | null
  readonly via: Via | null
  readonly toldDistanceMetres: number | null
  /** What the recipe states or leaves to the measurement; a lag in frames. */
  readonly stated: {
    readonly lag: 'measured' | 'as-recorded' | { readonly samples: number }
    readonly polarity: 'measured' | 'as-recorded' | 'inverted'
    readonly nudgeSamples: number
  }
  readonly measured: ReportMeasured
  /** null for a source that is a group: its files carry the moves. */
  readonly move: ReportMove | null
  readonly health: ReportHealth
  /** Each piece of a source in pieces, or beside a reference in pieces, in the order in which they are first heard; left out else. */
  readonly pieces?: readonly ReportPiece[]
}

/** One piece of a source: what was measured of it, and what was done. Times of the source's own recording. */
export interface ReportPiece {
  /** Number in the recipe, from 1; and that of the piece of the reference with which it is heard, null where that is one file. */
  readonly piece: number
  readonly referencePiece: number | null
  /** As the recipe writes it. */
  readonly file: string
  readonly heard: readonly { readonly startSeconds: number; readonly endSeconds: number }[]
  readonly lagSamples: number | null
  readonly lagMs: number | null
  /** Of the lag alone; and the larger of it and what the path's own group delay spreads. */
  readonly lagUncertaintySamples: number | null
  readonly shownUncertaintySamples: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
  readonly reason: string | null
  /** Lined up like the piece of this number beside it, since it is not sure by itself; null: by its own lag. */
  readonly likePiece: number | null
  /** What was done; null for a source that is a group. */
  readonly shiftSamples: number | null
  readonly shiftMs: number | null
  readonly moved: Polarity | null
}

/** **Positive lag: this source is late against the reference.** Frames at the group's rate. */
export interface ReportMeasured {
  readonly startOffsetSamples: number
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly arrivalSpreadSamples: number | null
  /** The larger of uncertainty and spread: what people are shown after ±. */
  readonly shownUncertaintySamples: number | null
  readonly lagMs: number | null
  readonly distanceMetres: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  readonly reason: string | null
  readonly coherence: number | null
  readonly candidates: readonly {
    readonly aim: 'arrival' | 'fullness'
    readonly lagSamples: number
    readonly polarity: Polarity
    readonly score: number
  }[]
  readonly drift: { readonly ppm: number; readonly uncertaintyPpm: number } | null
  readonly steps:
    | readonly {
        readonly atSeconds: number
        readonly fromLagSamples: number
        readonly toLagSamples: number
      }[]
    | null
  /** What several takes say together; null where the recipe pools none. */
  readonly pooled: PooledLag | null
  readonly swaySamples: number | null
  readonly lagOverTime:
    | readonly {
        readonly atSeconds: number
        readonly lagSamples: number
        readonly uncertaintySamples: number
      }[]
    | null
}

/** **Positive shift: moved later.** */
export interface ReportMove {
  readonly shiftSamples: number
  readonly shiftMs: number
  readonly polarity: Polarity
  readonly because: string
  readonly follow: readonly { readonly atSeconds: number; readonly shiftSamples: number }[] | null
  /** What this move pushes before the start of the stems, where it is lost; null = nothing. */
  readonly headCut: { readonly frames: number; readonly peakDbfs: number | null } | null
}

export interface ReportHealth {
  readonly channels: number
  readonly frames: number
  readonly seconds: number
  readonly bitDepth: number | null
  readonly stampSamples: number | null
  readonly loudnessLufs: number | null
  readonly rmsDbfs: number | null
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly dcOffset: number
  readonly clippedRuns: number
  readonly hum: { readonly frequencyHz: 50 | 60; readonly levelDbfs: number } | null
}

export interface ReportBlend {
  readonly name: string
  readonly aligned: boolean
  readonly match: 'loudness' | 'rms' | 'none'
  /** As in the recipe: source and what it was weighed with, with the gain that brought it to the reference's level. */
  readonly parts: readonly {
    readonly source: string
    readonly weightShown: string
    readonly matchGainDb: number
  }[]
  /** File name of its stem; null where the plan holds none. */
  readonly stem: string | null
  /** Thinned: per narrow band of frequency the best and the worst value of each curve are kept. */
  readonly tone: BlendTone | null
}

export interface ReportStem {
  readonly name: string
  readonly kind: 'blend' | 'source'
  readonly group: string
  readonly file: string
  readonly sampleRateHz: number
  readonly channels: number
  readonly depth: Depth
  readonly frames: number
  readonly seconds: number
  readonly stampSamples: number | null
  readonly aligned: boolean
  readonly dither: boolean
  readonly parts: readonly ReportPart[]
  /** What was seen while writing; all null before anything is written. */
  readonly bytes: number | null
  readonly sha256: string | null
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly loudnessLufs: number | null
  readonly cuts: readonly {
    readonly source: string
    readonly frames: number
    readonly peakDbfs: number | null
  }[]
  /** Chunks of the recording's metadata that would not be true of the stem, by their ids, and markers that were cut off. */
  readonly droppedChunks: readonly string[]
  /** Where a moved file begins or ends in sound and was faded over 5 ms. */
  readonly fades: readonly { readonly source: string; readonly edge: 'start' | 'end' }[]
}

/** Output = sum of the parts: gain × source moved so that its first frame comes to lie at `atSamples`. */
export interface ReportPart {
  /** `group/source`. */
  readonly source: string
  readonly weightShown: string
  readonly matchGainDb: number
  readonly gain: number
  readonly atSamples: number
  readonly recordedGain: number
  readonly recordedAtSamples: number
}

export interface ReportFile {
  readonly role: 'source' | 'stem'
  readonly file: string
  readonly sha256: string | null
  readonly bytes: number | null
  /** `group/source` for a source (a file may serve several times), the stem's name for a stem. */
  readonly usedAs: readonly string[]
}
