/** What a recording says about itself, beside its audio. Anything that could not be read is null or empty, with a warning. */
export interface WaveMetadata {
  readonly broadcast: BroadcastExtension | null
  readonly ixml: Ixml | null
  /** Markers, in the order of the file. */
  readonly cues: readonly CuePoint[]
  /** Texts of LIST INFO: id of four letters, and the text. */
  readonly info: readonly { readonly id: string; readonly text: string }[]
  /** Every chunk but `fmt `, `data` and `ds64`, in the order of the file, as bytes. */
  readonly chunks: readonly RawChunk[]
}

export interface RawChunk {
  readonly id: string
  /** Byte of the file at which the id stands. */
  readonly headerAt: number
  /** Contents without the pad byte; null where they are cut off, or too large to be kept in memory. */
  readonly contents: Uint8Array | null
}

/** The `bext` chunk, EBU Tech 3285. Texts are cut at the first NUL. */
export interface BroadcastExtension {
  readonly description: string
  readonly originator: string
  readonly originatorReference: string
  /** yyyy-mm-dd and hh:mm:ss, or empty. */
  readonly originationDate: string
  readonly originationTime: string
  /** Frames since midnight, unsigned 64 bit. */
  readonly timeReference: bigint
  readonly version: number
  /** One line per step of processing, without line ends. */
  readonly codingHistory: readonly string[]
  /** Version 2 only; each null where unused. */
  readonly loudness: BroadcastLoudness | null
}

/** Loudness fields of `bext` version 2, stored in hundredths. */
export interface BroadcastLoudness {
  readonly integratedLufs: number | null
  readonly rangeLu: number | null
  readonly truePeakDbtp: number | null
  readonly momentaryLufs: number | null
  readonly shortTermLufs: number | null
}

/** The `iXML` chunk: its text, and what is used of it. */
export interface Ixml {
  readonly text: string
  /** Frames since midnight at `stampRateHz`; a missing upper half counts as 0, null without the lower half. */
  readonly stamp: bigint | null
  /** TIMESTAMP_SAMPLE_RATE, else FILE_SAMPLE_RATE; null where neither is told. */
  readonly stampRateHz: number | null
  /** True where a SPEED section is there: then a missing time stamp is left out on purpose. */
  readonly tellsSpeed: boolean
  /** Project, scene, take and tape: element and text, those that are told. */
  readonly session: readonly (readonly [element: string, text: string])[]
  /** Rate and drop flag of the time code: element and text. */
  readonly timecode: readonly (readonly [element: string, text: string])[]
  /** Track names by channel index from 1, empty where not told. */
  readonly trackNames: readonly { readonly channel: number; readonly name: string }[]
}

export interface CuePoint {
  readonly id: number
  /** Frame of the file, from 0. */
  readonly frame: number
  /** Its label in LIST adtl, or null. */
  readonly label: string | null
}
