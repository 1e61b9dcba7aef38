import { decode24 } from '../signal/words.js'
import type { SampleBuffer } from './sample-buffer.js'
import type { SampleCoding } from './wave-format.js'

/**
 * Turns stored samples of one channel into doubles, full scale ±1: integers by 2^-(bits - 1), 8 bit after taking off 128,
 * floats as they are. Exact for every coding. `first` counts samples (not frames) from the start of the buffer.
 */
export type DecodeSamples = (
  buffer: SampleBuffer,
  first: number,
  stride: number,
  into: Float64Array,
  intoAt: number,
  frames: number,
) => void

const decodeU8: DecodeSamples = ({ u8 }, first, stride, into, intoAt, frames) => {
  for (let i = 0, at = first; i < frames; i++, at += stride) into[intoAt + i] = (u8[at]! - 128) * 2 ** -7
}

const decodeS16: DecodeSamples = ({ i16 }, first, stride, into, intoAt, frames) => {
  for (let i = 0, at = first; i < frames; i++, at += stride) into[intoAt + i] = i16[at]! * 2 ** -15
}

const strided24 = (
  u8: Uint8Array,
  first: number,
  stride: number,
  into: Float64Array,
  intoAt: number,
  frames: number,
): void => {
  const step = 3 * stride
  for (let i = 0, at = 3 * first; i < frames; i++, at += step) {
    // The three bytes at the top of a word: the sign comes by itself, and 2^-31 scales as 2^-23 does below.
    into[intoAt + i] = ((u8[at]! << 8) | (u8[at + 1]! << 16) | (u8[at + 2]! << 24)) * 2 ** -31
  }
}

/** One channel of 24 bit: four samples are three words of 32 bit, which is twice as fast as twelve bytes. */
const decodeS24: DecodeSamples = ({ u8, i32 }, first, stride, into, intoAt, frames) => {
  if (stride !== 1) {
    strided24(u8, first, stride, into, intoAt, frames)
    return
  }
  const byKernel = decode24(u8, first, into, intoAt, frames)
  if (byKernel > 0) {
    strided24(u8, first + byKernel, 1, into, intoAt + byKernel, frames - byKernel)
    return
  }
  const head = Math.min(frames, (4 - (first % 4)) % 4)
  strided24(u8, first, 1, into, intoAt, head)
  const fours = (frames - head) >> 2
  let word = (3 * (first + head)) >> 2
  let out = intoAt + head
  for (let i = 0; i < fours; i++, word += 3, out += 4) {
    const a = i32[word]!
    const b = i32[word + 1]!
    const c = i32[word + 2]!
    into[out] = (a << 8) * 2 ** -31
    into[out + 1] = (((a >>> 16) & 0xff00) | (b << 16)) * 2 ** -31
    into[out + 2] = (((b >>> 8) & 0xffff00) | (c << 24)) * 2 ** -31
    into[out + 3] = (c & 0xffffff00) * 2 ** -31
  }
  const done = head + 4 * fours
  strided24(u8, first + done, 1, into, intoAt + done, frames - done)
}

const decodeS32: DecodeSamples = ({ i32 }, first, stride, into, intoAt, frames) => {
  for (let i = 0, at = first; i < frames; i++, at += stride) into[intoAt + i] = i32[at]! * 2 ** -31
}

const decodeF32: DecodeSamples = ({ f32 }, first, stride, into, intoAt, frames) => {
  for (let i = 0, at = first; i < frames; i++, at += stride) into[intoAt + i] = f32[at]!
}

const decodeF64: DecodeSamples = ({ f64 }, first, stride, into, intoAt, frames) => {
  for (let i = 0, at = first; i < frames; i++, at += stride) into[intoAt + i] = f64[at]!
}

export const decoders: Readonly<Record<SampleCoding, DecodeSamples>> = {
  u8: decodeU8,
  s16: decodeS16,
  s24: decodeS24,
  s32: decodeS32,
  f32: decodeF32,
  f64: decodeF64,
}
