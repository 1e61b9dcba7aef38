import type { SumwellError } from '../terms/fault.js'
import type { Warning } from '../terms/warning.js'
import type { FileBytes } from './file-bytes.js'
import { notWave } from './not-wave.js'
import { headerFault, waveWarning } from './wave-faults.js'
import type { Container } from './wave-format.js'

/** One chunk: where its contents start, and how long its header says that they are (the file may end earlier). */
export interface ChunkPlace {
  readonly id: string
  /** Byte of the file at which the id stands. */
  readonly headerAt: number
  /** Byte of the file at which the contents start: 8 later. */
  readonly at: number
  /** Contents in bytes, without the pad byte; looked up in `ds64`, and up to the end of the file for an open `data`. */
  readonly bytes: number
}

export interface RiffChunks {
  readonly container: Container
  readonly chunks: readonly ChunkPlace[]
  /** The size of `data` was never written: the recording was not closed. All bytes to the end are taken for audio. */
  readonly unfinished: boolean
  /** Frames as told by `ds64`; 0 where it does not tell them. */
  readonly statedFrames: number
  readonly warnings: readonly Warning[]
}

/** "See ds64" in RF64 and BW64; "not known yet" in a plain file. */
export const SIZE_ELSEWHERE = 0xffffffff

/** More chunks than any recorder writes: a file with more is not walked to its end. */
const MOST_CHUNKS = 4096

const isId = (id: string): boolean => /^[\x20-\x7e]{4}$/.test(id)

/** Four bytes as text, one letter per byte. */
export const idAt = (bytes: Uint8Array, at: number): string =>
  String.fromCharCode(...bytes.subarray(at, at + 4))

/** A view of exactly these bytes, wherever they lie in their buffer. */
export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

/** The fault for a file without a chunk that must be there: named is the chunk that swallowed it, if one runs over the end. */
export const missingChunk = (file: FileBytes, { chunks }: RiffChunks, id: string): SumwellError => {
  const last = chunks.at(-1)
  const cut = last !== undefined && last.at + last.bytes > file.size
  const message = cut
    ? `the chunk "${last.id}" is said to have ${last.bytes} bytes, more than the file holds, and no ${id.trim()} chunk comes before it`
    : `the file ends without a ${id.trim()} chunk`
  return headerFault(file.path, cut ? last.headerAt : file.size, message, `a chunk "${id}"`)
}

/** What the `ds64` chunk says (EBU Tech 3306, ITU-R BS.2088): sizes over 4 GiB by chunk id, and the frames of the audio. */
interface LongSizes {
  readonly bytes: ReadonlyMap<string, number>
  readonly frames: number
}

const readLongSizes = (file: FileBytes, chunk: ChunkPlace): LongSizes => {
  if (chunk.bytes < 28 || chunk.at + 28 > file.size) {
    const message = `the ds64 chunk has ${chunk.bytes} bytes`
    throw headerFault(file.path, chunk.headerAt, message, 'at least 28 bytes inside the file')
  }
  const bytes = file.slice(chunk.at, Math.min(chunk.bytes, 28 + 12 * MOST_CHUNKS))
  const view = viewOf(bytes)
  const sizes = new Map<string, number>([['data', Number(view.getBigUint64(8, true))]])
  const entries = Math.min(view.getUint32(24, true), Math.floor((bytes.length - 28) / 12))
  for (let entry = 0; entry < entries; entry++) {
    const at = 28 + 12 * entry
    sizes.set(idAt(bytes, at), Number(view.getBigUint64(at + 4, true)))
  }
  return { bytes: sizes, frames: Number(view.getBigUint64(16, true)) }
}

const knownIds =
  /^(fmt |data|LIST|bext|iXML|fact|cue |JUNK|junk|PAD |FLLR|ID3 |id3 |smpl|inst|axml|_PMX|PEAK)$/

/** Some writers leave out the pad byte after an odd chunk: then a known id stands one byte earlier. */
const lacksPad = (file: FileBytes, end: number): boolean => {
  const bytes = file.slice(end, 5)
  return knownIds.test(idAt(bytes, 0)) && !knownIds.test(idAt(bytes, 1))
}

/** True when from here to the end of the file stands nothing, or chunks that fill it exactly. */
const chunksFillTheRest = (file: FileBytes, start: number): boolean => {
  let at = start
  for (let count = 0; at < file.size && count < MOST_CHUNKS; count++) {
    const header = file.slice(at, 8)
    if (header.length < 8 || !isId(idAt(header, 0))) return false
    const bytes = viewOf(header).getUint32(4, true)
    at += 8 + bytes + (bytes % 2)
  }
  return at === file.size || at === file.size + 1 // the very last pad byte is often left out
}

/**
 * The size of `data` says nothing: 0 or 0xFFFFFFFF as a recorder writes them at the start and mends them at the end, or a
 * size that went round past 4 GiB.
 */
const isOpen = (file: FileBytes, at: number, bytes: number): boolean => {
  if (bytes === SIZE_ELSEWHERE || bytes >= Number.MAX_SAFE_INTEGER) return true
  const wentRound = file.size - (at + bytes) >= 2 ** 32
  return (bytes === 0 || wentRound) && !chunksFillTheRest(file, at + bytes + (bytes % 2))
}

/**
 * The chunks of a WAVE file in the order in which they stand. A chunk may run over the end of the file: the caller decides
 * what that means. Before `data`, anything that is no chunk is a fault; after it, it ends the walk with a warning.
 * @throws SumwellError WAVE_NOT_WAVE, WAVE_HEADER
 */
export const walkChunks = (file: FileBytes): RiffChunks => {
  const start = file.slice(0, 12)
  const container = idAt(start, 0)
  if ((container !== 'RIFF' && container !== 'RF64' && container !== 'BW64') || idAt(start, 8) !== 'WAVE') {
    throw notWave(file.path, start)
  }
  const chunks: ChunkPlace[] = []
  const warnings: Warning[] = []
  let long: LongSizes = { bytes: new Map(), frames: 0 }
  let dataSeen = false
  let at = 12
  while (at + 8 <= file.size) {
    const header = file.slice(at, 8)
    const id = idAt(header, 0)
    if (chunks.length === MOST_CHUNKS || !isId(id)) {
      const what = isId(id) ? `there are more than ${MOST_CHUNKS} chunks` : 'no chunk starts where one should'
      if (!dataSeen) throw headerFault(file.path, at, what, 'a chunk: an id of four letters and a size')
      warnings.push(
        waveWarning(
          'WAVE_METADATA',
          file.path,
          `${what} (byte ${at}, after the audio); the rest is left out`,
        ),
      )
      break
    }
    const stated = viewOf(header).getUint32(4, true)
    const bytes = stated === SIZE_ELSEWHERE ? (long.bytes.get(id) ?? stated) : stated
    const chunk: ChunkPlace = { id, headerAt: at, at: at + 8, bytes }
    if (id === 'data' && !dataSeen && isOpen(file, chunk.at, bytes)) {
      chunks.push({ ...chunk, bytes: file.size - chunk.at })
      return { container, chunks, unfinished: true, statedFrames: long.frames, warnings }
    }
    chunks.push(chunk)
    dataSeen ||= id === 'data'
    if (id === 'ds64' && container !== 'RIFF') long = readLongSizes(file, chunk)
    at = chunk.at + bytes
    if (bytes % 2 === 1 && at < file.size && lacksPad(file, at)) {
      const message = `the chunk "${id}" (byte ${chunk.headerAt}) lacks its pad byte; it is read all the same`
      warnings.push(waveWarning('WAVE_METADATA', file.path, message))
    } else {
      at += bytes % 2
    }
  }
  return { container, chunks, unfinished: false, statedFrames: long.frames, warnings }
}
