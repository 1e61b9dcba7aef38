import type { Coding } from './packing.js'

/** The passage of a group that the page can play: its recordings as they are, and nothing made from them. */
export interface Listen {
  /** On the timeline of the stems. */
  readonly startSeconds: number
  readonly startFrame: number
  readonly frames: number
  /** By the recipe, or where lining up changes most while all sources play. */
  readonly chosenBy: 'recipe' | 'change'
  /** What was wished for; longer than what is held where the page would have grown too large. */
  readonly wishedSeconds: number
  /** Where the level of the blend changes most, frames from the start of the passage. */
  readonly loudestDifferenceFrame: number
  readonly sounds: readonly ListenSound[]
}

/** One recording of the passage, with so much around it that every move within reach can be made. */
export interface ListenSound {
  /** Of the element in the page that holds it. */
  readonly id: string
  /** `group/source`. */
  readonly source: string
  readonly channels: number
  /** What its samples are; none is lost (`packing.ts`). */
  readonly coding: Coding
  /** Frame of the recording with which it begins; silence before and after it. */
  readonly startFrame: number
  readonly frames: number
  /** Of its bytes, so that a page that is drawn again plays what was measured. */
  readonly sha256: string
}

/** The bytes of each sound, by its id. They stand in the page only, never in report.json. */
export type SoundBytes = ReadonlyMap<string, Uint8Array>
