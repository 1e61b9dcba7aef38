import type { Depth } from '../recipe/session.js'
import { encode24 } from '../signal/words.js'
import type { SampleBuffer } from './sample-buffer.js'

/**
 * Puts doubles of one channel, full scale ±1, into stored samples: integers times 2^(bits - 1), floats rounded to single precision.
 * `channel` of `stride` channels; `frames` of them from `from` on, to the start of the buffer. Returns the index of the first value
 * that cannot be stored as it is (off the integer grid, out of range, not finite), or -1.
 */
export type EncodeSamples = (
  values: Float64Array,
  from: number,
  frames: number,
  buffer: SampleBuffer,
  channel: number,
  stride: number,
) => number

const fits = (scaled: number, bits: number): boolean =>
  Number.isInteger(scaled) && scaled >= -(2 ** (bits - 1)) && scaled < 2 ** (bits - 1)

const firstThatDoesNotFit = (values: Float64Array, from: number, frames: number, bits: number): number => {
  for (let i = 0; i < frames; i++) if (!fits(values[from + i]! * 2 ** (bits - 1), bits)) return i
  return -1
}

// In the loops below `off` gathers every bit that must not be there: s - (s | 0) is 0 for whole numbers within 32 bits and
// NaN or something else for all others; the range of 16 and 24 bits shows in the bits above the sign.

const encode16: EncodeSamples = (values, from, frames, { i16 }, channel, stride) => {
  let off = 0
  for (let i = 0, at = channel; i < frames; i++, at += stride) {
    const scaled = values[from + i]! * 2 ** 15
    const whole = scaled | 0
    i16[at] = whole
    off += Math.abs(scaled - ((whole << 16) >> 16))
  }
  return off === 0 ? -1 : firstThatDoesNotFit(values, from, frames, 16)
}

/** The bytes of frames [first, frames), one by one. */
const strided24: (first: number, ...rest: Parameters<EncodeSamples>) => number = (
  first,
  values,
  from,
  frames,
  { u8 },
  channel,
  stride,
) => {
  let off = 0
  const step = 3 * stride
  for (let i = first, at = 3 * channel + step * first; i < frames; i++, at += step) {
    const scaled = values[from + i]! * 2 ** 23
    const whole = scaled | 0
    u8[at] = whole
    u8[at + 1] = whole >> 8
    u8[at + 2] = whole >> 16
    off += Math.abs(scaled - ((whole << 8) >> 8))
  }
  return off
}

/** One channel of 24 bit: four samples make three words of 32 bit, which is faster than twelve bytes. */
const encodeS24: EncodeSamples = (values, from, frames, buffer, channel, stride) => {
  let off = 0
  const byKernel = stride === 1 ? encode24(values, from, frames, buffer.u8) : null
  if (byKernel !== null) {
    off = byKernel.off + strided24(byKernel.frames, values, from, frames, buffer, channel, stride)
    return off === 0 ? -1 : firstThatDoesNotFit(values, from, frames, 24)
  }
  const fours = stride === 1 ? frames >> 2 : 0
  const { i32 } = buffer
  for (let four = 0, word = 0, i = from; four < fours; four++, word += 3, i += 4) {
    const scaledA = values[i]! * 2 ** 23
    const scaledB = values[i + 1]! * 2 ** 23
    const scaledC = values[i + 2]! * 2 ** 23
    const scaledD = values[i + 3]! * 2 ** 23
    const a = scaledA | 0
    const b = scaledB | 0
    const c = scaledC | 0
    const d = scaledD | 0
    i32[word] = (a & 0xffffff) | (b << 24)
    i32[word + 1] = ((b >>> 8) & 0xffff) | (c << 16)
    i32[word + 2] = ((c >>> 16) & 0xff) | (d << 8)
    off += Math.abs(scaledA - ((a << 8) >> 8)) + Math.abs(scaledB - ((b << 8) >> 8))
    off += Math.abs(scaledC - ((c << 8) >> 8)) + Math.abs(scaledD - ((d << 8) >> 8))
  }
  off += strided24(4 * fours, values, from, frames, buffer, channel, stride)
  return off === 0 ? -1 : firstThatDoesNotFit(values, from, frames, 24)
}

const encode32: EncodeSamples = (values, from, frames, { i32 }, channel, stride) => {
  let off = 0
  for (let i = 0, at = channel; i < frames; i++, at += stride) {
    const scaled = values[from + i]! * 2 ** 31
    const whole = scaled | 0
    i32[at] = whole
    off += Math.abs(scaled - whole)
  }
  return off === 0 ? -1 : firstThatDoesNotFit(values, from, frames, 32)
}

const encodeFloat: EncodeSamples = (values, from, frames, { f32 }, channel, stride) => {
  let off = 0
  for (let i = 0, at = channel; i < frames; i++, at += stride) {
    const stored = Math.fround(values[from + i]!)
    f32[at] = stored
    off += stored - stored
  }
  if (off === 0) return -1
  for (let i = 0; i < frames; i++) if (!Number.isFinite(Math.fround(values[from + i]!))) return i
  return -1
}

export const encoders: Readonly<Record<`${Depth}`, EncodeSamples>> = {
  '16': encode16,
  '24': encodeS24,
  '32': encode32,
  '32f': encodeFloat,
}

/** Bytes of one stored sample. */
export const depthBytes = (depth: Depth): number => (depth === '32f' ? 4 : depth / 8)
