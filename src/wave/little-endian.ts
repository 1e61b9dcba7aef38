/** A whole number as it stands in a file: how many bytes, and its value. */
export type Field = readonly [bytes: 2 | 4 | 8, value: number]

/** Whole numbers one after the other, little-endian. */
export const packed = (...fields: readonly Field[]): Uint8Array => {
  const view = new DataView(new ArrayBuffer(fields.reduce((sum, [bytes]) => sum + bytes, 0)))
  let at = 0
  for (const [bytes, value] of fields) {
    if (bytes === 2) view.setUint16(at, value, true)
    else if (bytes === 4) view.setUint32(at, value, true)
    else view.setBigUint64(at, BigInt(value), true)
    at += bytes
  }
  return new Uint8Array(view.buffer)
}

/** The parts one after the other. */
export const joined = (parts: readonly Uint8Array[]): Uint8Array => {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}
