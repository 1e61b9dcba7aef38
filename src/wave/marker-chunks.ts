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
 * The `cue ` chunk with every marker moved by `shiftFrames`. Markers that come to lie outside [0, frames] are left out; null where none
 * is left. Labels of markers that are gone do no harm.
 */
export const movedCues = (
  contents: Uint8Array,
  shiftFrames: number,
  frames: number,
): { readonly contents: Uint8Array; readonly markers: number; readonly lost: number } | null => {
  const view = viewOf(contents)
  const count = view.getUint32(0, true)
  const frameOf = (point: number): number =>
    view.getUint32(4 + point * CUE_POINT_BYTES + 20, true) + shiftFrames
  const staying = Array.from({ length: count }, (_, point) => point).filter(point => {
    const frame = frameOf(point)
    return frame >= 0 && frame <= frames && frame < 2 ** 32
  })
  if (staying.length === 0) return null
  const moved = new Uint8Array(4 + staying.length * CUE_POINT_BYTES)
  const target = viewOf(moved)
  target.setUint32(0, staying.length, true)
  staying.forEach((point, index) => {
    const at = 4 + index * CUE_POINT_BYTES
    const from = 4 + point * CUE_POINT_BYTES
    moved.set(contents.subarray(from, from + CUE_POINT_BYTES), at)
    target.setUint32(at + 4, frameOf(point), true) // position in the play order, which is that of the file
    target.setUint32(at + 20, frameOf(point), true)
  })
  return { contents: moved, markers: staying.length, lost: count - staying.length }
}

/** What a LIST holds, or null where that cannot be told. */
export const listType = (chunk: RawChunk): string | null =>
  chunk.id === 'LIST' && chunk.contents !== null && chunk.contents.length >= 4
    ? idAt(chunk.contents, 0)
    : null
