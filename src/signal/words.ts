import { addressOf } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'

/*
 * Words of 24 bit, one behind the other, and doubles: what the kernels can do of it. Whoever calls does the rest, or all of it where
 * the arrays lie elsewhere.
 */

// Bytes that the kernels touch past the last word.
const MARGIN = 4

const kernelFor = (bytes: Uint8Array, samples: Float64Array): Kernels | null =>
  addressOf(bytes) >= 0 && addressOf(samples) >= 0 ? (kernels()?.run ?? null) : null

// Words among `count` from byte `at` on that leave the margin within the buffer; a multiple of four.
const reachable = (bytes: Uint8Array, at: number, count: number): number => {
  const words = Math.min(count, Math.floor((bytes.length - MARGIN - at) / 3))
  return Math.max(0, words - (words % 4))
}

/**
 * Puts words from number `first` on into `into` from `intoAt` on, full scale 1. Returns how many of the `count` were done: a multiple
 * of four, perhaps 0.
 */
export const decode24 = (
  bytes: Uint8Array,
  first: number,
  into: Float64Array,
  intoAt: number,
  count: number,
): number => {
  const run = kernelFor(bytes, into)
  if (run === null) return 0
  const words = reachable(bytes, 3 * first, count)
  run.decode24(bytes.byteOffset + 3 * first, into.byteOffset + 8 * intoAt, words)
  return words
}

/**
 * Puts values from `from` on to the start of `bytes`. `frames`: how many of the `count` were done, a multiple of four. `off`: 0 where all
 * of them are words of 24 bit. Null where the kernel cannot be used.
 */
export const encode24 = (
  values: Float64Array,
  from: number,
  count: number,
  bytes: Uint8Array,
): { readonly frames: number; readonly off: number } | null => {
  const run = kernelFor(bytes, values)
  if (run === null) return null
  const frames = reachable(bytes, 0, count)
  return { frames, off: run.encode24(values.byteOffset + 8 * from, bytes.byteOffset, frames) }
}
