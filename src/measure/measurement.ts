import type { Warning } from '../terms/warning.js'

/** The whole of `measure --json` for one song: design §4. Every field is always there; null where it has no value. No NaN. */
export interface SongMeasurement {
  readonly recipe: string
  readonly song: string
  readonly take: string | null
  readonly groups: readonly GroupMeasurement[]
  readonly warnings: readonly Warning[]
}

export interface GroupMeasurement {
  readonly name: string
  readonly reference: string
  readonly sampleRateHz: number
  readonly sources: readonly SourceMeasurement[]
  /** Root mean square disagreement of the pairs of the group, frames; null with fewer than three measurable sources. */
  readonly closureSamples: number | null
}

export type Verdict = 'sure' | 'unsure' | 'unknown'
export type Polarity = 'normal' | 'inverted'

export interface SourceMeasurement {
  readonly name: string
  /** Path as shown to people; null for a source that is a group. */
  readonly file: string | null
  /** The group that this source is, else null. */
  readonly fromGroup: string | null
  readonly sha256: string | null
  readonly channels: number
  readonly frames: number
  readonly bitDepth: number | null
  readonly loudnessLufs: number | null
  readonly rmsDbfs: number | null
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly dcOffset: number
  /** Runs of at least three successive frames at one extreme value near full scale (or flat tops below it). */
  readonly clippedRuns: number
  readonly hum: Hum | null
  /** Start of this file minus start of the reference's by their time stamps, frames; 0 without stamps or where the sound contradicts them. */
  readonly startOffsetSamples: number
  /** How late this source arrives, frames at the group's rate. **Positive: late against the reference.** What is left after the start
   *  offset. Fractional; exactly 0 for the reference; null, never 0, where the verdict is `unknown`. */
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly arrivalSpreadSamples: number | null
  readonly lagMs: number | null
  /** The lag as a length of air; null for a re-amped pass, which is late by converters and buffers. */
  readonly distanceMetres: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  /** In the engineer's words, with what to do; null where the verdict is `sure`. */
  readonly reason: string | null
  /** Mean magnitude-squared coherence with the reference over the band that both share, 0..1; null for the reference. */
  readonly coherence: number | null
  /** Both aims, best first within each aim. */
  readonly candidates: readonly Candidate[]
  readonly drift: { readonly ppm: number; readonly uncertaintyPpm: number } | null
  readonly steps: readonly Step[] | null
  readonly swaySamples: number | null
  readonly lagOverTime: readonly LagAtTime[] | null
  /** Null for the reference, for a group as a source and where nothing is played. */
  readonly advice: Advice | null
  /** What a slate said; null where the recipe names none for this source, or it gave no answer. */
  readonly slate: SlateMeasurement | null
  /** What several takes say together; null where the recipe pools none for this source. */
  readonly pooled: PooledLag | null
  /**
   * Each piece of the source (or of the reference) for itself, in the order in which they are first heard; left out where all of it is one
   * file. The lag of the source is then that of the piece that is heard longest, its verdicts the worst of all pieces.
   */
  readonly pieces?: readonly PieceMeasurement[]
}

/** Lag and polarity, how sure, and how far the lag is known: of a source, or of one of its pieces. */
export type MeasuredLag = Pick<
  SourceMeasurement,
  | 'lagSamples'
  | 'lagUncertaintySamples'
  | 'arrivalSpreadSamples'
  | 'polarity'
  | 'lagVerdict'
  | 'polarityVerdict'
>

/** One lag from several takes between which nothing was moved. */
export interface PooledLag {
  /** Like `lagSamples` of the source; null where too few takes are sure, or they do not agree. */
  readonly lagSamples: number | null
  readonly uncertaintySamples: number | null
  /** What the takes differ by beside their own uncertainties, frames; 0 where these explain it. */
  readonly scatterSamples: number | null
  /** True where it is this take's lag; else this take keeps its own. */
  readonly used: boolean
  /** In the order of song and take, this one among them. */
  readonly takes: readonly PooledTake[]
}

export interface PooledTake {
  readonly song: string
  readonly take: string | null
  /** The one that is at hand. */
  readonly isThis: boolean
  /**
   * `pooled`: part of the one lag. `odd`: sure of something else. `unsure`: not sure by itself. `moving`: its lag changes during the take, or it is in pieces.
   * `same`: the recording of another take again. `missing`: not there, or not to be read.
   */
  readonly state: 'pooled' | 'odd' | 'unsure' | 'moving' | 'same' | 'missing'
  /** As this take says by itself. */
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly polarity: Polarity | null
  /** How much later it is than the others that are pooled say together, frames; null where there is nothing to compare. */
  readonly differsSamples: number | null
}

/** One piece of a source, heard together with one piece of the reference. */
export interface PieceMeasurement {
  /** Number of the piece in the recipe, from 1; and of the reference's piece, null where that is one file. 1 for a source in one file. */
  readonly piece: number
  readonly referencePiece: number | null
  /** Path as shown to people. */
  readonly file: string
  /** When it is heard, frames of the source's own timeline: from the first to the one after the last. In the order of time. */
  readonly stretches: readonly { readonly startFrame: number; readonly endFrame: number }[]
  /** As those of a source. */
  readonly lagSamples: number | null
  readonly lagUncertaintySamples: number | null
  readonly arrivalSpreadSamples: number | null
  readonly polarity: Polarity | null
  readonly verdict: Verdict
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  readonly reason: string | null
  readonly coherence: number | null
  readonly candidates: readonly Candidate[]
  /** Not sure by itself, but it fits the piece beside it, which is: index of that piece in this list. Null where it stands for itself. */
  readonly likePiece: number | null
}

/** A path's response to the slate, against the reference's. */
export interface SlateMeasurement {
  /** Like `lagSamples` of the source. */
  readonly lagSamples: number
  readonly lagUncertaintySamples: number
  readonly arrivalSpreadSamples: number
  readonly polarity: Polarity
  /** True where it settled what was not sure by what was played. */
  readonly used: boolean
  /** The path's own group delay: octaves that both paths hold, their lag minus the arrival, frames. */
  readonly groupDelay: readonly { readonly middleHz: number; readonly excessSamples: number }[]
}

/** What could be better at the next take. */
export interface Advice {
  /** One line that a person can act on. */
  readonly text: string
  /** So much farther from the instrument (negative: nearer) the microphone arrives with the reference, metres; null unless both are
   *  microphones within a metre of that, and sure. */
  readonly moveMetres: number | null
  /** How far a lined-up path may be off before a blend of two equal parts loses 1 dB at `toleranceHz`, metres. */
  readonly toleranceMetres: number | null
  /** By how many degrees Celsius the room may be off for the same loss: so much its lag in air changes; null where that is no
   *  matter (over 15 degrees, no air, or a pass that was played back). */
  readonly toleranceCelsius: number | null
  /** Highest frequency at which the two share a meaningful part of their sound. */
  readonly toleranceHz: number | null
  /** The strongest tones that both share, strongest first. */
  readonly tones: readonly ToneAtLag[]
}

/** A tone that was played, against the lag as recorded. */
export interface ToneAtLag {
  readonly note: string
  readonly frequencyHz: number
  /** Number of its half wavelengths in the lag: near an odd one it cancels, near an even one where the polarity is inverted. */
  readonly halfWavelengths: number
  /** What a blend of two equal parts as recorded loses of it, dB, 0 … 60. */
  readonly lossDb: number
}

export interface Hum {
  readonly frequencyHz: 50 | 60
  readonly levelDbfs: number
}

export interface Candidate {
  readonly aim: 'arrival' | 'fullness'
  readonly lagSamples: number
  readonly polarity: Polarity
  /** 0..1; how well this position explains the data, 1 = perfectly. Comparable within one source and aim. */
  readonly score: number
}

export interface Step {
  readonly atSeconds: number
  readonly fromLagSamples: number
  readonly toLagSamples: number
}

export interface LagAtTime {
  readonly atSeconds: number
  readonly lagSamples: number
  readonly uncertaintySamples: number
}
