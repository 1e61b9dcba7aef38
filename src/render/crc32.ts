/** Remainders of single bytes, polynomial 0xEDB88320 (ISO 3309, bits reversed; from memory), and of bytes 1, 2 and 3 places further on. */
const TABLES = Array.from({ length: 4 }, () => new Int32Array(256))
for (let byte = 0; byte < 256; byte++) {
  let rest = byte
  for (let bit = 0; bit < 8; bit++) rest = (rest & 1) === 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1
  TABLES[0]![byte] = rest
}
for (let table = 1; table < 4; table++) {
  for (let byte = 0; byte < 256; byte++) {
    const before = TABLES[table - 1]![byte]!
    TABLES[table]![byte] = TABLES[0]![before & 255]! ^ (before >>> 8)
  }
}

/** CRC-32 of bytes that follow others; `before` = 0 for the first. */
export const crc32 = (bytes: Uint8Array, before = 0): number => {
  const [t0, t1, t2, t3] = TABLES as [Int32Array, Int32Array, Int32Array, Int32Array]
  let rest = ~before
  let i = 0
  for (; i + 4 <= bytes.length; i += 4) {
    rest ^= bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24)
    rest = t3[rest & 255]! ^ t2[(rest >>> 8) & 255]! ^ t1[(rest >>> 16) & 255]! ^ t0[rest >>> 24]!
  }
  for (; i < bytes.length; i++) rest = (rest >>> 8) ^ t0[(rest ^ bytes[i]!) & 255]!
  return ~rest >>> 0
}
