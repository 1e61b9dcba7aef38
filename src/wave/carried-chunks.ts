import { listType, movedCues } from './marker-chunks.js'
import type { ChunkToWrite } from './wave-header.js'
import type { RawChunk, WaveMetadata } from './wave-metadata.js'

/** Written anew, or only room that was kept free: nothing is lost without them. */
const notMissed: ReadonlySet<string> = new Set(['bext', 'iXML', 'fact', 'JUNK', 'junk', 'PAD ', 'FLLR'])

/**
 * Chunks that describe the very samples of the reference (peaks, overviews, loops, play lists, checksums, channel tables, loudness
 * measured elsewhere): no longer true of a stem.
 */
const untrueOfStem: ReadonlySet<string> = new Set([
  'PEAK',
  'levl',
  'smpl',
  'inst',
  'plst',
  'slnt',
  'chna',
  'axml',
  'bxml',
  'MD5 ',
  'umid',
  'acid',
  'strc',
  'mext',
  'qlty',
])

const even = (contents: Uint8Array): Uint8Array => {
  if (contents.length % 2 === 0) return contents
  const padded = new Uint8Array(contents.length + 1)
  padded.set(contents)
  return padded
}

/**
 * The chunks of the reference that still hold in a stem in which it starts at frame `atFrame` (null = its shift changes on the way: none).
 * Markers are moved with the audio, with their labels; texts (LIST INFO) and unknown chunks are copied as they are. What is left
 * behind is named, so that it can be told.
 */
export const carriedChunks = (
  reference: WaveMetadata | undefined,
  atFrame: number | null,
  frames: number,
): { chunks: readonly ChunkToWrite[]; dropped: readonly string[] } => {
  const there = (reference?.chunks ?? []).filter(chunk => !notMissed.has(chunk.id))
  const cue = there.find(chunk => chunk.id === 'cue ' && reference!.cues.length > 0)?.contents ?? null
  const moved = cue === null || atFrame === null ? null : movedCues(cue, atFrame, frames)
  const carry = (chunk: RawChunk): Uint8Array | null => {
    if (atFrame === null || chunk.contents === null || untrueOfStem.has(chunk.id)) return null
    if (chunk.id === 'cue ') return moved?.contents ?? null
    if (chunk.id === 'LIST' && listType(chunk) !== 'INFO') return moved === null ? null : chunk.contents
    return chunk.contents
  }
  const decided = there.map(chunk => ({ id: chunk.id, contents: carry(chunk) }))
  const lost = moved?.lost ?? 0
  return {
    chunks: decided.flatMap(({ id, contents }) =>
      contents === null ? [] : [{ id, contents: even(contents) }],
    ),
    dropped: [
      ...decided.filter(({ contents }) => contents === null).map(({ id }) => id.trim()),
      ...(lost > 0 ? [`${lost} of ${lost + moved!.markers} markers`] : []),
    ],
  }
}
