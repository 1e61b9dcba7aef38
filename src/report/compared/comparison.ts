import type { Polarity, Verdict } from '../../measure/measurement.js'
import type { Via } from '../../recipe/session.js'

/** What changed between two takes, or two deliveries. **Positive lag change: later than before.** */
export interface Comparison {
  /** How the two are called: "take 4"; null where there is no better word than "before". */
  readonly before: string | null
  readonly now: string | null
  readonly groups: readonly ComparedGroup[]
  readonly blends: readonly ComparedBlend[]
}

export interface ComparedGroup {
  readonly name: string
  readonly reference: string
  /** Null where it is the same. */
  readonly formerReference: string | null
  readonly sampleRateHz: number
  /** All sources of either, those of now first; the reference is among them. */
  readonly sources: readonly ComparedSource[]
}

/** What was measured before and now, of a source or of one piece. */
export interface ComparedLag {
  /** `added`: only now; `removed`: only before. */
  readonly presence: 'both' | 'added' | 'removed'
  readonly lagBeforeSamples: number | null
  readonly lagNowSamples: number | null
  /** Now minus before; null where one of them is not known, the reference differs, or its rate. */
  readonly lagChangeSamples: number | null
  readonly lagChangeMs: number | null
  /** The change as a length of air; negative = nearer. */
  readonly distanceChangeMetres: number | null
  /** Whether the change is more than twice what both lags are uncertain by. */
  readonly clear: boolean
  readonly polarityBefore: Polarity | null
  readonly polarityNow: Polarity | null
  readonly verdictBefore: Verdict | null
  readonly verdictNow: Verdict | null
}

export interface ComparedSource extends ComparedLag {
  readonly name: string
  readonly via: Via | null
  readonly isReference: boolean
  /** Another recording than before; null where that is not known. */
  readonly newRecording: boolean | null
  readonly loudnessChangeDb: number | null
  /** Each piece of a source in pieces, or beside a reference in pieces; left out else. */
  readonly pieces?: readonly ComparedPiece[]
  /** One line for people. */
  readonly words: string
}

/** One piece against the piece of the same number that was heard with the same piece of the reference. */
export interface ComparedPiece extends ComparedLag {
  readonly piece: number
  /** That of the reference with which it is heard; null where that is one file. */
  readonly referencePiece: number | null
}

export interface ComparedBlend {
  readonly name: string
  readonly group: string
  readonly presence: 'both' | 'added' | 'removed'
  readonly loudnessChangeDb: number | null
  readonly evennessBeforeDb: number | null
  readonly evennessNowDb: number | null
  readonly firstNotchBeforeHz: number | null
  readonly firstNotchNowHz: number | null
  /** Change of tone: of each wide band against the change of the whole. */
  readonly bands: readonly { readonly name: string; readonly changeDb: number }[]
  readonly words: string
}
