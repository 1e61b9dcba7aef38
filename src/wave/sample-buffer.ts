import { memoryFor } from '../signal/kernel/arena.js'
import { internalFault } from './wave-faults.js'

/** One stretch of memory seen as every kind of stored sample. Little-endian, as WAVE is. */
export interface SampleBuffer {
  readonly u8: Uint8Array
  readonly i16: Int16Array
  readonly i32: Int32Array
  readonly f32: Float32Array
  readonly f64: Float64Array
}

/** Room for `bytes` bytes, rounded up to whole 8-byte words. */
export const newSampleBuffer = (bytes: number): SampleBuffer => {
  const size = Math.ceil(bytes / 8) * 8
  const { buffer, at } = memoryFor(size)
  new DataView(buffer, at).setInt16(0, 1, true)
  const i16 = new Int16Array(buffer, at, size / 2)
  if (i16[0] !== 1) throw internalFault('this processor is not little-endian')
  return {
    u8: new Uint8Array(buffer, at, size),
    i16,
    i32: new Int32Array(buffer, at, size / 4),
    f32: new Float32Array(buffer, at, size / 4),
    f64: new Float64Array(buffer, at, size / 8),
  }
}
