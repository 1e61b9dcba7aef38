import type { Polarity } from '../../src/measure/measurement.js'
import type { PathFacts } from './knowable.js'

/** Two tracks with what is true of them. */
export interface CorpusCase {
  readonly name: string
  readonly kind: string
  readonly sampleRateHz: number
  readonly reference: Float64Array
  readonly source: Float64Array
  readonly searchSeconds: number
  /** Null: no lag is true of them, and nothing may be called sure. */
  readonly truth: { readonly lagSamples: number; readonly polarity: Polarity } | null
  /** Other answers that are as true (two sounds that both tracks share). */
  readonly alsoTrue?: readonly { readonly lagSamples: number; readonly polarity: Polarity }[]
  /** A `sure` may be asked for here: the direct sound is dominant and both share sound above 1 kHz (knowable.ts). */
  readonly knowable: boolean
  /** What `knowable` was decided by, where it was computed. */
  readonly facts?: PathFacts
}

/** The same two tracks with source and reference exchanged: the lag changes its sign. For cases with a single truth. */
export const theOtherWayRound = (c: CorpusCase): CorpusCase => ({
  ...c,
  name: `${c.name}, the other way round`,
  kind: `${c.kind}-back`,
  reference: c.source,
  source: c.reference,
  truth: c.truth === null ? null : { ...c.truth, lagSamples: -c.truth.lagSamples },
})
