import { ascii, type Bytes, chunk, concat, integers, le, plainFormat, riff } from '../wave/wave-bytes.js'

const RATE_HZ = 48_000

/** Frames of a level in [-1, 1), 24 bit. */
export const frames = (count: number, at: (frame: number) => number): Uint8Array =>
  Uint8Array.from(
    integers(
      Array.from({ length: count }, (_, n) => Math.round(at(n) * 8_388_607)),
      3,
    ),
  )

/** A mono file of 24 bit, with more chunks before the sound. */
export const mono = (sound: Uint8Array, rateHz = RATE_HZ, ...more: readonly Bytes[]): Uint8Array =>
  riff(plainFormat(1, 1, rateHz, 24), ...more, chunk('data', sound))

export const stereo = (sound: Uint8Array): Uint8Array =>
  riff(plainFormat(1, 2, RATE_HZ, 24), chunk('data', sound))

/** A second of something like a stroke, for files whose sound does not matter. */
export const stroke = (count = RATE_HZ): Uint8Array =>
  frames(count, n => 0.3 * Math.exp(-n / 4000) * Math.sin(n * 0.05) + 0.05 * Math.sin(n * n * 1e-5))

/** The header of a file of so many frames, 24 bit mono, whose sound was never written: the disk gives zeros. */
export const emptyHeader = (count: number, rateHz: number): Uint8Array => {
  const bytes = 3 * count
  return concat(
    ascii('RIFF'),
    le(36 + bytes, 4),
    ascii('WAVE'),
    plainFormat(1, 1, rateHz, 24),
    ascii('data'),
    le(bytes, 4),
  )
}
