import { memoryFor } from '../../signal/kernel/arena.js'
import { unpackWhole } from './residuals.js'
import { WholePacker, wholeBytes } from './whole-packer.js'

/** What samples are: whole numbers of so many bits, or floating point. */
export type Coding = 's16' | 's24' | 's32' | 'f32' | 'f64'

export const BYTES_OF: Readonly<Record<Coding, number>> = { s16: 2, s24: 3, s32: 4, f32: 4, f64: 8 }

const CODINGS: readonly Coding[] = ['s16', 's24', 's32', 'f32', 'f64']

/** That in which a recording of this kind keeps its bits: its own, and 16 for 8. */
export const codingFor = (bitDepth: number, sampleFormat: 'int' | 'float'): Coding => {
  if (sampleFormat === 'float') return bitDepth > 32 ? 'f64' : 'f32'
  return bitDepth <= 16 ? 's16' : bitDepth <= 24 ? 's24' : 's32'
}

const STEPS: Readonly<Partial<Record<Coding, number>>> = { s16: 32768, s24: 8388608, s32: 2147483648 }

const allFit = (samples: Float64Array, coding: Coding): boolean => {
  const steps = STEPS[coding]
  if (coding === 'f64') return true
  for (let i = 0; i < samples.length; i++) {
    const value = samples[i]!
    if (steps === undefined) {
      if (Math.fround(value) !== value) return false
      continue
    }
    const whole = value * steps
    if (!(Math.floor(whole) === whole && whole >= -steps && whole < steps)) return false
  }
  return true
}

/** The given coding, or the first larger one that keeps every value exactly (the mean of several channels has more bits than each). */
export const losslessCoding = (channels: readonly Float64Array[], first: Coding): Coding =>
  CODINGS.slice(CODINGS.indexOf(first)).find(coding => channels.every(samples => allFit(samples, coding))) ??
  'f64'

/** What of whole numbers is packed closely; 32 bits have too little in common with what went before. */
const isClose = (coding: Coding): boolean => coding === 's16' || coding === 's24'

/** Planar samples, full scale ±1, as bytes: whole numbers of up to 24 bits packed closely, others frame by frame, lowest byte first. */
export const pack = (channels: readonly Float64Array[], coding: Coding): Uint8Array =>
  isClose(coding) ? packClosely(channels, coding) : packPlainly(channels, coding)

/** How many bytes `pack` makes of them, without making any. */
export const packedBytes = (channels: readonly Float64Array[], coding: Coding): number => {
  const frames = channels[0]?.length ?? 0
  if (!isClose(coding)) return frames * channels.length * BYTES_OF[coding]
  return wholeNumbers(channels, coding, wholeBytes).reduce((sum, bytes) => sum + bytes, HEAD_BYTES)
}

const HEAD_BYTES = 4

/** Each channel as whole numbers, in the same memory one after the other. */
const wholeNumbers = <Result>(
  channels: readonly Float64Array[],
  coding: Coding,
  use: (values: Int32Array) => Result,
): Result[] => {
  const steps = STEPS[coding]!
  const frames = channels[0]?.length ?? 0
  const { buffer, at } = memoryFor(8 * Math.ceil(frames / 2))
  const whole = new Int32Array(buffer, at, frames)
  return channels.map(samples => {
    for (let i = 0; i < frames; i++) whole[i] = samples[i]! * steps
    return use(whole)
  })
}

/** The number of frames, then channel after channel. */
const packClosely = (channels: readonly Float64Array[], coding: Coding): Uint8Array => {
  const frames = channels[0]?.length ?? 0
  const packer = new WholePacker(HEAD_BYTES, frames * channels.length)
  wholeNumbers(channels, coding, values => {
    packer.add(values)
  })
  const bytes = packer.end()
  new DataView(bytes.buffer).setUint32(0, frames, true)
  return bytes
}

const unpackClosely = (bytes: Uint8Array, coding: Coding, channels: number): readonly Float64Array[] => {
  const steps = STEPS[coding]!
  const frames = new DataView(bytes.buffer, bytes.byteOffset).getUint32(0, true)
  let at = HEAD_BYTES
  return Array.from({ length: channels }, () => {
    const { values, end } = unpackWhole(bytes, at, frames)
    at = end
    return Float64Array.from(values, value => value / steps)
  })
}

const packPlainly = (channels: readonly Float64Array[], coding: Coding): Uint8Array => {
  const frames = channels[0]?.length ?? 0
  const size = BYTES_OF[coding]
  const bytes = new Uint8Array(frames * channels.length * size)
  const view = new DataView(bytes.buffer)
  let at = 0
  for (let i = 0; i < frames; i++) {
    for (const samples of channels) {
      writeSample(view, at, samples[i]!, coding)
      at += size
    }
  }
  return bytes
}

const writeSample = (view: DataView, at: number, value: number, coding: Coding): void => {
  if (coding === 'f32') view.setFloat32(at, value, true)
  else if (coding === 'f64') view.setFloat64(at, value, true)
  else view.setInt32(at, value * 2147483648, true)
}

/** The reverse of `pack`, exactly. */
export const unpack = (bytes: Uint8Array, coding: Coding, channels: number): readonly Float64Array[] =>
  isClose(coding) ? unpackClosely(bytes, coding, channels) : unpackPlainly(bytes, coding, channels)

const unpackPlainly = (bytes: Uint8Array, coding: Coding, channels: number): readonly Float64Array[] => {
  const size = BYTES_OF[coding]
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const frames = Math.floor(bytes.length / (size * channels))
  return Array.from({ length: channels }, (_, channel) => {
    const samples = new Float64Array(frames)
    let at = channel * size
    for (let i = 0; i < frames; i++, at += channels * size) samples[i] = readSample(view, at, coding)
    return samples
  })
}

const readSample = (view: DataView, at: number, coding: Coding): number => {
  if (coding === 's32') return view.getInt32(at, true) / 2147483648
  return coding === 'f32' ? view.getFloat32(at, true) : view.getFloat64(at, true)
}
