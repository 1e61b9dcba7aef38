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
  const memory = new ArrayBuffer(Math.ceil(bytes / 8) * 8)
  new DataView(memory).setInt16(0, 1, true)
  if (new Int16Array(memory, 0, 1)[0] !== 1) throw internalFault('this processor is not little-endian')
  return {
    u8: new Uint8Array(memory),
    i16: new Int16Array(memory),
    i32: new Int32Array(memory),
    f32: new Float32Array(memory),
    f64: new Float64Array(memory),
  }
}
