import { KERNEL_MEMORY_BYTES, kernels } from './kernels.js'

/*
 * Kernels see their own memory only. Arrays that live in it are worked on where they are; all others are copied there and back. What
 * is kept for the life of the thread (tables) is taken from the end of the memory, what a task needs from its start.
 */

const ALIGN = 64

let depth = 0
let used = 0
let kept = KERNEL_MEMORY_BYTES

const roundUp = (bytes: number): number => Math.ceil(bytes / ALIGN) * ALIGN

/** Address of an array inside the kernel memory, or -1 where it lies elsewhere. */
export const addressOf = (array: ArrayBufferView): number =>
  array.buffer === kernels()?.buffer ? array.byteOffset : -1

/**
 * Runs a piece of work in which `float64` hands out kernel memory. All of it is free again when the work has ended (the promise settled,
 * if it gives one): no array may leave it. One piece at a time may wait for a promise in a thread.
 */
export const inArena = <Result>(work: () => Result): Result => {
  const mark = used
  depth++
  const leave = (): void => {
    depth--
    used = mark
  }
  let result: Result
  try {
    result = work()
  } catch (error) {
    leave()
    throw error
  }
  if (result instanceof Promise) return result.finally(leave) as Result
  leave()
  return result
}

/** Zeros: in the kernel memory where this is called within `inArena` and there is room, else anywhere. */
export const float64 = (length: number): Float64Array => {
  const { buffer, at } = memoryFor(8 * length)
  return new Float64Array(buffer, at, length)
}

/** The same in single precision. */
export const float32 = (length: number): Float32Array => {
  const { buffer, at } = memoryFor(8 * Math.ceil(length / 2))
  return new Float32Array(buffer, at, length)
}

/** `bytes` bytes of zeros, a multiple of eight, as a place in a buffer; taken as `float64` does. */
export const memoryFor = (bytes: number): { readonly buffer: ArrayBuffer; readonly at: number } => {
  const needed = roundUp(bytes)
  const loaded = depth === 0 ? null : kernels()
  if (loaded === null || used + needed > kept) return { buffer: new ArrayBuffer(bytes), at: 0 }
  const at = used
  used += needed
  new Uint8Array(loaded.buffer, at, bytes).fill(0)
  return { buffer: loaded.buffer, at }
}

/** Kernel memory for the life of this thread: tables and work space. Null where there are no kernels or there is no room. */
export const keepFloat64 = (length: number): Float64Array | null => {
  const buffer = keep(8 * length)
  return buffer === null ? null : new Float64Array(buffer, kept, length)
}

/** The same in single precision. */
export const keepFloat32 = (length: number): Float32Array | null => {
  const buffer = keep(4 * length)
  return buffer === null ? null : new Float32Array(buffer, kept, length)
}

const keep = (bytes: number): ArrayBuffer | null => {
  const loaded = kernels()
  const needed = roundUp(bytes)
  if (loaded === null || kept - needed < used) return null
  kept -= needed
  return loaded.buffer
}
