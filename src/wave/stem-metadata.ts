import type { Depth } from '../recipe/session.js'
import { formatBroadcastExtension } from './broadcast-extension.js'
import { carriedChunks } from './carried-chunks.js'
import { depthBytes } from './encode-samples.js'
import { formatIxml } from './ixml.js'
import type { ChunkToWrite } from './wave-header.js'
import type { BroadcastLoudness, WaveMetadata } from './wave-metadata.js'

/** What a stem says about itself. */
export interface StemMetadata {
  /** One line for people: in `bext` (ASCII, 256 letters) and as the note of iXML (as it is). */
  readonly description: string
  /** Start since midnight in frames of the stem; null = none. */
  readonly stampSamples: number | null
  readonly originator: 'Sumwell'
  /** Lines to add after those of the reference; see `codingHistoryLine`. */
  readonly codingHistory: readonly string[]
  /** Metadata of the reference: its date, coding history, project, scene, take and tape are kept. */
  readonly reference?: WaveMetadata
  /**
   * Frame of the stem at which the first frame of the reference stands, to the nearest: markers, texts and unknown chunks of
   * the reference are carried along. Null or left out = nothing is carried.
   */
  readonly referenceAtFrame?: number | null
  /** Fills the loudness fields of `bext` version 2; without it version 1 is written. */
  readonly loudness?: BroadcastLoudness | null
  /** One name per channel; the description where left out. */
  readonly trackNames?: readonly string[]
}

/** The channels of a coding-history line (from memory: EBU R 98 has mono and stereo; more channels are not told). */
const mode = (channels: number): string => (channels === 1 ? ',M=mono' : channels === 2 ? ',M=stereo' : '')

/**
 * One line of the coding history after EBU R 98: `A=PCM,F=48000,W=24,M=mono,T=Sumwell`. The text may hold no comma: a semicolon takes its
 * place. Floats are 32 bit.
 */
export const codingHistoryLine = (
  sampleRateHz: number,
  depth: Depth,
  channels: number,
  text: string,
): string =>
  `A=PCM,F=${sampleRateHz},W=${8 * depthBytes(depth)}${mode(channels)},T=${text.replace(/,/g, ';').replace(/\s+/g, ' ')}`

/** The chunks that carry the metadata, in the order in which they are written, and the names of chunks of the reference left behind. */
export const stemChunks = (
  metadata: StemMetadata,
  stem: { sampleRateHz: number; channels: number; frames: number; depth: Depth },
): { chunks: readonly ChunkToWrite[]; dropped: readonly string[] } => {
  const { reference } = metadata
  const broadcast = reference?.broadcast ?? null
  const bext = formatBroadcastExtension({
    description: metadata.description,
    originator: metadata.originator,
    originatorReference: '',
    originationDate: broadcast?.originationDate ?? '',
    originationTime: broadcast?.originationTime ?? '',
    timeReference: BigInt(metadata.stampSamples ?? 0),
    codingHistory: [...(broadcast?.codingHistory ?? []), ...metadata.codingHistory],
    loudness: metadata.loudness ?? null,
  })
  const ixml = formatIxml({
    note: metadata.description,
    sampleRateHz: stem.sampleRateHz,
    bitDepth: 8 * depthBytes(stem.depth),
    stampSamples: metadata.stampSamples,
    trackNames: Array.from(
      { length: stem.channels },
      (_, channel) => metadata.trackNames?.[channel] ?? metadata.description,
    ),
    session: reference?.ixml?.session ?? [],
    timecode: reference?.ixml?.timecode ?? [],
  })
  const carried = carriedChunks(reference, metadata.referenceAtFrame ?? null, stem.frames)
  return {
    chunks: [{ id: 'bext', contents: bext }, { id: 'iXML', contents: ixml }, ...carried.chunks],
    dropped: carried.dropped,
  }
}
