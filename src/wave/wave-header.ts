import type { Depth } from '../recipe/session.js'
import { depthBytes } from './encode-samples.js'
import { SUB_FORMAT_TAIL } from './format-chunk.js'
import { joined, packed } from './little-endian.js'
import { SIZE_ELSEWHERE } from './riff-chunks.js'

/** A chunk to be written before the audio. Its contents have an even number of bytes: some readers refuse RF64 with others. */
export interface ChunkToWrite {
  readonly id: string
  readonly contents: Uint8Array
}

export interface WaveLayout {
  readonly sampleRateHz: number
  readonly channels: number
  readonly frames: number
  readonly depth: Depth
  /** Loudspeaker positions, bit 0 = front left; null = none stated. */
  readonly channelMask: number | null
  /** In this order, between the format and the audio. */
  readonly chunks: readonly ChunkToWrite[]
}

/** Everything before and after the audio; final, since the number of frames is known. */
export interface WaveHeader {
  readonly header: Uint8Array
  readonly dataBytes: number
  /** 1 after an odd number of bytes of audio. */
  readonly padBytes: 0 | 1
  readonly fileBytes: number
}

const chunk = (id: string, contents: Uint8Array, statedBytes = contents.length): Uint8Array => {
  const bytes = new Uint8Array(8 + contents.length + (contents.length % 2))
  for (let i = 0; i < 4; i++) bytes[i] = id.charCodeAt(i)
  new DataView(bytes.buffer).setUint32(4, statedBytes, true)
  bytes.set(contents, 8)
  return bytes
}

/** What a plain file means: front centre; front left and right. */
const impliedMasks: readonly number[] = [0, 4, 3]

/** Plain up to two channels in their usual places (every reader knows it), extensible otherwise. */
const formatContents = (layout: WaveLayout): Uint8Array => {
  const { sampleRateHz, channels, channelMask } = layout
  const bytes = depthBytes(layout.depth)
  const tag = layout.depth === '32f' ? 3 : 1
  const extensible = channels > 2 || ![null, 0, impliedMasks[channels]].includes(channelMask)
  const common = packed(
    [2, extensible ? 0xfffe : tag],
    [2, channels],
    [4, sampleRateHz],
    [4, sampleRateHz * channels * bytes],
    [2, channels * bytes],
    [2, 8 * bytes],
  )
  if (!extensible) return tag === 1 ? common : joined([common, packed([2, 0])])
  const extension = packed([2, 22], [2, 8 * bytes], [4, channelMask ?? 0], [2, tag])
  return joined([common, extension, Uint8Array.from(SUB_FORMAT_TAIL)])
}

/**
 * The header of a WAVE file, and of an RF64 file where the whole would not fit into 32-bit sizes (EBU Tech 3306). A float file gets a
 * `fact` chunk with its frames, as coding other than PCM demands.
 */
export const layOutHeader = (layout: WaveLayout, largestRiffSize = SIZE_ELSEWHERE - 1): WaveHeader => {
  const dataBytes = layout.frames * layout.channels * depthBytes(layout.depth)
  const padBytes = dataBytes % 2 === 1 ? 1 : 0
  const fact = packed([4, Math.min(layout.frames, SIZE_ELSEWHERE)])
  const body = [
    chunk('fmt ', formatContents(layout)),
    ...(layout.depth === '32f' ? [chunk('fact', fact)] : []),
    ...layout.chunks.map(({ id, contents }) => chunk(id, contents)),
  ]
  const plainBytes = 12 + body.reduce((sum, part) => sum + part.length, 0) + 8 + dataBytes + padBytes
  const long = plainBytes - 8 > largestRiffSize
  const fileBytes = plainBytes + (long ? 36 : 0)
  const sizes = packed([8, fileBytes - 8], [8, dataBytes], [8, layout.frames], [4, 0])
  const text = (id: string): Uint8Array => chunk(id, new Uint8Array(0)).subarray(0, 4)
  const header = joined([
    chunk(long ? 'RF64' : 'RIFF', new Uint8Array(0), long ? SIZE_ELSEWHERE : fileBytes - 8),
    text('WAVE'),
    ...(long ? [chunk('ds64', sizes)] : []),
    ...body,
    chunk('data', new Uint8Array(0), long ? SIZE_ELSEWHERE : dataBytes),
  ])
  return { header, dataBytes, padBytes, fileBytes }
}
