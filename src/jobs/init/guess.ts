import type { Polarity } from '../../measure/measurement.js'
import type { Via } from '../../recipe/session.js'
import type { LeftOut } from './find-recordings.js'

/** What `init` takes the files of a folder for; its own words for every guess. Plain data: `init --json` prints it. */
export interface Guess {
  readonly song: string
  readonly take: string | null
  readonly earlierTakes: readonly string[]
  readonly groups: readonly GuessedGroup[]
  /** Files that share their sound with no other. */
  readonly alone: readonly { readonly file: string; readonly written: string; readonly why: string }[]
  readonly leftOut: readonly LeftOut[]
}

export interface GuessedGroup {
  readonly name: string
  readonly reference: string
  readonly referenceBecause: 'name' | 'arrives first'
  /** Whether the names of its files tell of several instruments, one of them in several files: a kit. */
  readonly severalInstruments: boolean
  /** The reference first, then in the order of arrival. */
  readonly sources: readonly GuessedSource[]
  /** Frames a second. */
  readonly sampleRateHz: number
  /** Search that reaches the latest of them, where the usual 40 ms do not. */
  readonly searchMs: number | null
}

export interface GuessedSource {
  readonly name: string
  /** As it lies there, and as the recipe writes it. */
  readonly file: string
  readonly written: string
  readonly via: Via | null
  /** Whether the name of the file told the path; null where nothing did. */
  readonly viaFrom: 'name' | 'arrival' | null
  readonly channels: number
  /** Against the reference, by one coarse look; null for the reference, and where only the way through a third file ties them. */
  readonly commonEnergy: number | null
  readonly coherence: number | null
  readonly lagMs: number | null
  readonly polarity: Polarity | null
}
