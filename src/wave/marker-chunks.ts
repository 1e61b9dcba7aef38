import { idAt, viewOf } from './riff-chunks.js'
import type { CuePoint, RawChunk, WaveMetadata } from './wave-metadata.js'
import { readCue } from './wavefile-chunks.js'

/** A LIST chunk: its type (`INFO`, `adtl`, …) and what stands in it, one level deep. */
interface ListChunk {
  readonly type: string
  readonly entries: readonly { readonly id: string; readonly contents: Uint8Array }[]
}

/** Bytes of one point in `cue `, after a count of four bytes (RIFF specification, from memory). */
const CUE_POINT_BYTES = 24

/**
 * Reads a LIST by an own walk, one level deep: the library walks every list to the end of the file and again for each list in it.
 * @throws Error where an entry runs over the end
 */
const parseList = (contents: Uint8Array): ListChunk => {
  if (contents.length < 4) throw new Error('it has no type')
  const view = viewOf(contents)
  const entries: { id: string; contents: Uint8Array }[] = []
  for (let at = 4; at + 8 <= contents.length; ) {
    const bytes = view.getUint32(at + 4, true)
    const start = at + 8
    if (start + bytes > contents.length) throw new Error(`the entry at its byte ${at} runs over its end`)
    entries.push({ id: idAt(contents, at), contents: contents.subarray(start, start + bytes) })
    at = start + bytes + (bytes % 2)
  }
  return { type: idAt(contents, 0), entries }
}

const decoder = new TextDecoder('utf-8')

const textOf = (bytes: Uint8Array): string => {
  const end = bytes.indexOf(0)
  return decoder.decode(end < 0 ? bytes : bytes.subarray(0, end))
}

/** Points of `cue ` with their frames; without labels. @throws Error where fewer stand there than it says */
export const parseCues = (contents: Uint8Array): readonly CuePoint[] => {
  const count = contents.length < 4 ? -1 : viewOf(contents).getUint32(0, true)
  if (count < 0 || 4 + count * CUE_POINT_BYTES > contents.length) throw new Error('it is cut off')
  return readCue(contents).points.map(point => ({
    id: point.dwName,
    frame: point.dwSampleOffset,
    label: null,
  }))
}

/** Texts of LIST INFO, and labels of LIST adtl by the id of their point; other lists give nothing. */
export const parseListTexts = (
  contents: Uint8Array,
): { info: WaveMetadata['info']; labels: ReadonlyMap<number, string> } => {
  const { type, entries } = parseList(contents)
  const labelled = entries.filter(entry => entry.id === 'labl' && entry.contents.length >= 4)
  return {
    info: type === 'INFO' ? entries.map(entry => ({ id: entry.id, text: textOf(entry.contents) })) : [],
    labels: new Map(
      type === 'adtl'
        ? labelled.map(entry => [
            viewOf(entry.contents).getUint32(0, true),
            textOf(entry.contents.subarray(4)),
          ])
        : [],
    ),
  }
}

/**
 * The `cue ` chunk with every marker moved by `shiftFrames`. Null where one of them would come to lie outside [0, frames], for then
 * the labels would no longer fit their points.
 */
export const movedCues = (contents: Uint8Array, shiftFrames: number, frames: number): Uint8Array | null => {
  const moved = contents.slice()
  const view = viewOf(moved)
  const count = view.getUint32(0, true)
  for (let point = 0; point < count; point++) {
    const at = 4 + point * CUE_POINT_BYTES
    const frame = view.getUint32(at + 20, true) + shiftFrames
    if (frame < 0 || frame > frames || frame >= 2 ** 32) return null
    view.setUint32(at + 4, frame, true) // position in the play order, which is that of the file
    view.setUint32(at + 20, frame, true)
  }
  return moved
}

/** What a LIST holds, or null where that cannot be told. */
export const listType = (chunk: RawChunk): string | null =>
  chunk.id === 'LIST' && chunk.contents !== null && chunk.contents.length >= 4
    ? idAt(chunk.contents, 0)
    : null
