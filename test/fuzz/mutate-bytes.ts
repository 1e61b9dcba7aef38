import type { Chance } from './chance.js'

/** Words that sit at the edge of something. */
const AWKWARD_BYTES = [0, 1, 2, 3, 0x0a, 0x20, 0x22, 0x3c, 0x7f, 0x80, 0xfe, 0xff]
const AWKWARD_WORDS = [
  0, 1, 2, 0x7f, 0x80, 0xff, 0x7fff, 0x8000, 0xffff, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff,
]
/** What stands for a number in a text. */
export const AWKWARD_NUMBERS = [
  '0',
  '-1',
  '1e308',
  '1e-320',
  '-0',
  '9007199254740993',
  '18446744073709551615',
  '99999999999999999999',
  '4294967296',
  '0.1',
  'NaN',
  '1e400',
  '٣',
]

export interface Mutation {
  /** Changes happen in the first so many bytes; the rest follows them. */
  readonly within: number
  /** Pieces that mean something in this kind of file. */
  readonly words: readonly string[]
  /** Other files of the kind, to take pieces from. */
  readonly others: readonly Uint8Array[]
  readonly mostChanges: number
  readonly mostBytes: number
}

const joined = (...parts: readonly Uint8Array[]): Uint8Array => Buffer.concat(parts)

const isDigit = (byte: number | undefined): boolean =>
  byte !== undefined && ((byte >= 0x30 && byte <= 0x39) || byte === 0x2e)

const changed = (bytes: Uint8Array, chance: Chance, mutation: Mutation): Uint8Array => {
  const { below, pick } = chance
  const at = below(Math.min(bytes.length, mutation.within) + 1)
  const length = 1 + below(chance.once(4) ? 200 : 8)
  const before = bytes.subarray(0, at)
  const after = bytes.subarray(at)
  const over = (put: Uint8Array): Uint8Array => joined(before, put, after.subarray(put.length))
  const between = (put: Uint8Array): Uint8Array => joined(before, put, after)
  switch (below(11)) {
    case 0:
      return over(Uint8Array.of(below(256)))
    case 1:
      return over(Uint8Array.of(pick(AWKWARD_BYTES)))
    case 2: {
      const word = new DataView(new ArrayBuffer(8))
      word.setUint32(0, pick(AWKWARD_WORDS), true)
      word.setUint32(4, pick([0, 0, 1, 0xffffffff]), true)
      return over(new Uint8Array(word.buffer, 0, pick([2, 4, 4, 8])))
    }
    case 3:
      return over(Uint8Array.of((bytes[at] ?? 0) ^ (1 << below(8))))
    case 4:
      return joined(before, after.subarray(length))
    case 5:
      return between(after.subarray(0, length))
    case 6: {
      // Twice, four times, … as far as it may grow.
      let piece: Uint8Array = after.subarray(0, length)
      const room = mutation.mostBytes - bytes.length
      for (let times = below(8); times > 0 && 2 * piece.length <= room; times--) piece = joined(piece, piece)
      return between(piece)
    }
    case 7:
      return bytes.slice(0, at)
    case 8: {
      const other = pick(mutation.others)
      const from = below(other.length)
      return (chance.once(2) ? over : between)(other.subarray(from, from + length))
    }
    case 9: {
      let start = at
      while (start < bytes.length && !isDigit(bytes[start])) start++
      let end = start
      while (isDigit(bytes[end])) end++
      return joined(bytes.subarray(0, start), Buffer.from(pick(AWKWARD_NUMBERS)), bytes.subarray(end))
    }
    default:
      return (chance.once(2) ? over : between)(Buffer.from(pick(mutation.words)))
  }
}

/** A copy with a few changes: bytes, words, numbers in texts, pieces cut, doubled, swapped, put in. */
export const mutatedBytes = (original: Uint8Array, chance: Chance, mutation: Mutation): Uint8Array => {
  let bytes = original
  for (let change = chance.below(mutation.mostChanges); change >= 0; change--) {
    bytes = changed(bytes, chance, mutation)
    if (bytes.length > mutation.mostBytes) bytes = bytes.subarray(0, mutation.mostBytes)
  }
  return bytes
}
