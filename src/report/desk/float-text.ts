const CHUNK = 0x8000

/** Bytes as base64. Works in a browser as well. */
export const bytesToText = (bytes: Uint8Array): string => {
  let characters = ''
  for (let at = 0; at < bytes.length; at += CHUNK) {
    characters += String.fromCharCode(...bytes.subarray(at, at + CHUNK))
  }
  return btoa(characters)
}

/** Bytes from base64. Throws where it is none. */
export const textToBytes = (text: string): Uint8Array => {
  const characters = atob(text)
  const bytes = new Uint8Array(characters.length)
  for (let i = 0; i < bytes.length; i++) bytes[i] = characters.charCodeAt(i)
  return bytes
}

/** Numbers as base64 of 32-bit floats, lowest byte first on every machine. */
export const floatsToText = (values: ArrayLike<number>): string => {
  const view = new DataView(new ArrayBuffer(4 * values.length))
  for (let i = 0; i < values.length; i++) view.setFloat32(4 * i, values[i]!, true)
  return bytesToText(new Uint8Array(view.buffer))
}

/** The reverse of `floatsToText`, to the precision of 32-bit floats. */
export const textToFloats = (text: string): Float64Array => {
  const bytes = textToBytes(text)
  const view = new DataView(bytes.buffer)
  return Float64Array.from({ length: bytes.length / 4 }, (_, i) => view.getFloat32(4 * i, true))
}
