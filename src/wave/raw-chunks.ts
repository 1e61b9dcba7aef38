import type { FileBytes } from './file-bytes.js'
import type { ChunkPlace } from './riff-chunks.js'
import type { RawChunk } from './wave-metadata.js'

/** Largest single chunk, and largest sum, that is kept in memory. Real ones have a few KiB. */
const LARGEST_CHUNK_BYTES = 1 << 20
const LARGEST_SUM_BYTES = 4 << 20

const audioIds: ReadonlySet<string> = new Set(['fmt ', 'data', 'ds64'])

/** The bytes of all chunks that are not the audio or its layout; too large or cut off ones are named with null contents. */
export const readRawChunks = (file: FileBytes, chunks: readonly ChunkPlace[]): readonly RawChunk[] => {
  let sum = 0
  return chunks
    .filter(chunk => !audioIds.has(chunk.id))
    .map(({ id, headerAt, at, bytes }) => {
      const fits = bytes <= LARGEST_CHUNK_BYTES && sum + bytes <= LARGEST_SUM_BYTES && at + bytes <= file.size
      if (fits) sum += bytes
      return { id, headerAt, contents: fits ? file.slice(at, bytes) : null }
    })
}
