import { memoryFor } from '../../signal/kernel/arena.js'
import { BLOCK, ESCAPE, LOW, MOST_PARAMETER, ORDER_BITS, PARAMETER_BITS } from './residuals.js'

/** What is packed at a time: of which order the differences are, and how many low bits of each stand as they are. */
interface BlockCode {
  readonly order: number
  readonly parameter: number
}

/** Even for numbers from 0 up, odd for those below: near 0 is small. */
const folded = (value: number): number => (value << 1) ^ (value >> 31)

/** Without a branch; of numbers above −2^31. */
const magnitude = (value: number): number => (value ^ (value >> 31)) - (value >> 31)

/** So many differences of up to 2^27 add up within 32 bits. */
const ROW = 8

/** The order of differences to what the values before foretell that leaves least. */
const codeOf = (values: Int32Array, from: number, to: number): BlockCode => {
  const [a = 0, b = 0, c = 0] = [values[from - 1], values[from - 2], values[from - 3]]
  let before0 = a
  let before1 = a - b
  let before2 = a - 2 * b + c
  let [sum0, sum1, sum2, sum3] = [0, 0, 0, 0]
  for (let row = from; row < to; row += ROW) {
    const end = Math.min(to, row + ROW)
    let [row0, row1, row2, row3] = [0, 0, 0, 0]
    for (let i = row; i < end; i++) {
      const zeroth = values[i]!
      const first = (zeroth - before0) | 0
      const second = (first - before1) | 0
      const third = (second - before2) | 0
      row0 = (row0 + magnitude(zeroth)) | 0
      row1 = (row1 + magnitude(first)) | 0
      row2 = (row2 + magnitude(second)) | 0
      row3 = (row3 + magnitude(third)) | 0
      before0 = zeroth
      before1 = first
      before2 = second
    }
    sum0 += row0
    sum1 += row1
    sum2 += row2
    sum3 += row3
  }
  const sums = [sum0, sum1, sum2, sum3]
  const order = sums.indexOf(Math.min(...sums))
  return { order, parameter: parameterFor(sums[order]!, to - from) }
}

/** The parameter that takes least room for so many numbers of this sum of magnitudes. */
const parameterFor = (sum: number, count: number): number => {
  let best = 0
  let least = Number.POSITIVE_INFINITY
  let ones = 2 * sum
  for (let bits = 0; bits <= MOST_PARAMETER; bits++) {
    const room = count * (bits + 1) + ones
    if (room < least) {
      least = room
      best = bits
    }
    ones /= 2
  }
  return best
}

/** What the values before foretell: so much of the last, of the one before it and of the one before that. By order. */
const FORETOLD = [
  [0, 0, 0],
  [1, 0, 0],
  [2, -1, 0],
  [3, -3, 1],
] as const

/** The largest number of bytes that a block takes: every value escaped. */
const MOST_BLOCK_BYTES = Math.ceil((BLOCK * (ESCAPE + 32) + ORDER_BITS + PARAMETER_BITS) / 8) + 4

/** Packs rows of whole numbers one behind the other; each begins on a byte. */
export class WholePacker {
  #bytes: Uint8Array
  #at: number
  #held = 0
  #bits = 0

  /** `headBytes`: left free at the start. `values`: about how many will come. */
  constructor(headBytes: number, values: number) {
    this.#at = headBytes
    this.#bytes = room(headBytes + 2 * values + MOST_BLOCK_BYTES)
  }

  /** Values of up to 24 bits and a sign, −2^24 … 2^24 − 1. */
  add(values: Int32Array): void {
    for (let from = 0; from < values.length; from += BLOCK) {
      if (this.#at + MOST_BLOCK_BYTES > this.#bytes.length) this.#grow()
      this.#block(values, from, Math.min(values.length, from + BLOCK))
    }
    if (this.#bits > 0) this.#put(0, 8 - this.#bits)
  }

  /** All of it, in an array of its own. */
  end(): Uint8Array {
    return this.#bytes.slice(0, this.#at)
  }

  #block(values: Int32Array, from: number, to: number): void {
    const { order, parameter } = codeOf(values, from, to)
    this.#put(order, ORDER_BITS)
    this.#put(parameter, PARAMETER_BITS)
    const [one, two, three] = FORETOLD[order]!
    let [a = 0, b = 0, c = 0] = [values[from - 1], values[from - 2], values[from - 3]]
    const low = (1 << parameter) - 1
    const bytes = this.#bytes
    let at = this.#at
    let held = this.#held
    let bits = this.#bits
    for (let i = from; i < to; i++) {
      const value = values[i]!
      const number = folded((value - (one * a + two * b + three * c)) | 0)
      c = b
      b = a
      a = value
      const ones = number >>> parameter
      const length = ones + 1 + parameter
      if (length <= 16) {
        // Bits above those that are held drop out where a byte is stored.
        held = (held << length) | (((1 << (ones + 1)) - 2) << parameter) | (number & low)
        bits += length
        if (bits >= 16) {
          bits -= 16
          bytes[at] = held >>> (bits + 8)
          bytes[at + 1] = held >>> bits
          at += 2
        }
        continue
      }
      this.#at = at
      this.#held = held
      this.#bits = bits
      this.#long(number, ones, parameter)
      at = this.#at
      held = this.#held
      bits = this.#bits
    }
    this.#at = at
    this.#held = held
    this.#bits = bits
    this.#flush()
  }

  /** A number that takes more than 16 bits. */
  #long(number: number, ones: number, parameter: number): void {
    this.#flush()
    if (ones >= ESCAPE) {
      this.#putParts((1 << ESCAPE) - 1, ESCAPE)
      this.#putParts(number, 32)
    } else {
      this.#putParts((1 << (ones + 1)) - 2, ones + 1)
      this.#putParts(number & ((1 << parameter) - 1), parameter)
    }
  }

  /** `bits`: 0 … 32. */
  #putParts(value: number, bits: number): void {
    if (bits > LOW) this.#put(value >>> LOW, bits - LOW)
    this.#put(value & LOW_MASK, Math.min(bits, LOW))
  }

  /** `bits`: 0 … 16, and as many are held at most. */
  #put(value: number, bits: number): void {
    this.#held = (this.#held << bits) | value
    this.#bits += bits
    this.#flush()
  }

  #flush(): void {
    while (this.#bits >= 8) {
      this.#bits -= 8
      this.#bytes[this.#at++] = this.#held >>> this.#bits
    }
  }

  #grow(): void {
    const larger = room(2 * this.#bytes.length)
    larger.set(this.#bytes)
    this.#bytes = larger
  }
}

const LOW_MASK = (1 << LOW) - 1

const room = (bytes: number): Uint8Array => {
  const whole = 8 * Math.ceil(bytes / 8)
  const { buffer, at } = memoryFor(whole)
  return new Uint8Array(buffer, at, whole)
}

/** Whole numbers of up to 24 bits and a sign, without loss in few bytes (`residuals.ts`). */
export const packWhole = (values: Int32Array): Uint8Array => {
  const packer = new WholePacker(0, values.length)
  packer.add(values)
  return packer.end()
}

/** How many bytes `packWhole` makes of them, without making any. */
export const wholeBytes = (values: Int32Array): number => {
  let bits = 0
  for (let from = 0; from < values.length; from += BLOCK) {
    const to = Math.min(values.length, from + BLOCK)
    const { order, parameter } = codeOf(values, from, to)
    const [one, two, three] = FORETOLD[order]!
    let [a = 0, b = 0, c = 0] = [values[from - 1], values[from - 2], values[from - 3]]
    let inBlock = 0
    for (let i = from; i < to; i++) {
      const value = values[i]!
      const ones = folded((value - (one * a + two * b + three * c)) | 0) >>> parameter
      c = b
      b = a
      a = value
      inBlock += ones >= ESCAPE ? ESCAPE + 32 : ones + 1 + parameter
    }
    bits += ORDER_BITS + PARAMETER_BITS + inBlock
  }
  return Math.ceil(bits / 8)
}
