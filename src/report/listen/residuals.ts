/**
 * Whole numbers without loss in few bytes. Block by block the difference to what the values before foretell is kept (fixed polynomial
 * predictors up to the third order), in Golomb-Rice code with the parameter that takes least room (T. Robinson, "SHORTEN: simple lossless
 * and near-lossless waveform compression", 1994). The same bytes on every machine; no part of any file format.
 */

const BLOCK = 512
const ORDER_BITS = 2
const PARAMETER_BITS = 5
/** So many ones in a row say that the number follows as it is. */
const ESCAPE = 24
const MOST_PARAMETER = 27

/** Even for numbers from 0 up, odd for those below: near 0 is small. */
const folded = (value: number): number => (value << 1) ^ (value >> 31)
const unfolded = (value: number): number => (value >>> 1) ^ -(value & 1)

class BitWriter {
  #bytes = new Uint8Array(1 << 16)
  #at = 0
  #held = 0
  #bits = 0

  /** `bits`: 0 … 24. */
  put(value: number, bits: number): void {
    this.#held = (this.#held << bits) | value
    this.#bits += bits
    while (this.#bits >= 8) {
      this.#bits -= 8
      if (this.#at === this.#bytes.length) this.#grow()
      this.#bytes[this.#at++] = this.#held >>> this.#bits
      this.#held &= (1 << this.#bits) - 1
    }
  }

  end(): Uint8Array {
    if (this.#bits > 0) this.put(0, 8 - this.#bits)
    return this.#bytes.slice(0, this.#at)
  }

  #grow(): void {
    const larger = new Uint8Array(2 * this.#bytes.length)
    larger.set(this.#bytes)
    this.#bytes = larger
  }
}

class BitReader {
  readonly #bytes: Uint8Array
  #at: number
  #held = 0
  #bits = 0

  constructor(bytes: Uint8Array, at: number) {
    this.#bytes = bytes
    this.#at = at
  }

  /** `bits`: 0 … 24. Zeros behind the end. */
  take(bits: number): number {
    while (this.#bits < bits) {
      this.#held = (this.#held << 8) | (this.#bytes[this.#at++] ?? 0)
      this.#bits += 8
    }
    this.#bits -= bits
    const value = this.#held >>> this.#bits
    this.#held &= (1 << this.#bits) - 1
    return value
  }

  /** Length of a run of ones; the zero behind it is taken too. `ESCAPE` ones have none. */
  ones(): number {
    let count = 0
    while (count < ESCAPE) {
      if (this.#bits === 0) {
        this.#held = this.#bytes[this.#at++] ?? 0
        this.#bits = 8
      }
      // Zeros of the held bits as ones: the highest of them ends the run.
      const zeros = ~this.#held & ((1 << this.#bits) - 1)
      const run = this.#bits - 32 + Math.clz32(zeros)
      const taken = Math.min(run, ESCAPE - count)
      count += taken
      this.#bits -= taken
      if (count < ESCAPE && zeros !== 0) {
        this.#bits--
        this.#held &= (1 << this.#bits) - 1
        return count
      }
      this.#held &= (1 << this.#bits) - 1
    }
    return count
  }

  /** The next whole byte. */
  get place(): number {
    return this.#at
  }
}

/** The differences of one block to what the values before it foretell, folded; and how they are written. */
interface Block {
  readonly order: number
  /** So many low bits of each stand as they are. */
  readonly parameter: number
}

const ORDERS = 4

/** Fills `into` with the folded differences of the order that leaves least. */
const blockOf = (values: Int32Array, from: number, to: number, into: Int32Array): Block => {
  const [a = 0, b = 0, c = 0] = [values[from - 1], values[from - 2], values[from - 3]]
  let before0 = a
  let before1 = a - b
  let before2 = a - 2 * b + c
  let [sum0, sum1, sum2, sum3] = [0, 0, 0, 0]
  for (let i = from; i < to; i++) {
    const zeroth = values[i]!
    const first = zeroth - before0
    const second = first - before1
    const third = second - before2
    sum0 += Math.abs(zeroth)
    sum1 += Math.abs(first)
    sum2 += Math.abs(second)
    sum3 += Math.abs(third)
    const at = ORDERS * (i - from)
    into[at] = zeroth
    into[at + 1] = first
    into[at + 2] = second
    into[at + 3] = third
    before0 = zeroth
    before1 = first
    before2 = second
  }
  const sums = [sum0, sum1, sum2, sum3]
  const order = sums.indexOf(Math.min(...sums))
  return { order, parameter: parameterFor(sums[order]!, to - from) }
}

/** The parameter that takes least room for so many numbers of this sum of magnitudes. */
const parameterFor = (sum: number, count: number): number => {
  let best = 0
  let least = Number.POSITIVE_INFINITY
  for (let bits = 0; bits <= MOST_PARAMETER; bits++) {
    const room = count * (bits + 1) + (2 * sum) / 2 ** bits
    if (room < least) {
      least = room
      best = bits
    }
  }
  return best
}

const LOW = 16
const LOW_MASK = (1 << LOW) - 1

const putLow = (writer: BitWriter, value: number, bits: number): void => {
  if (bits > LOW) writer.put(value >>> LOW, bits - LOW)
  writer.put(value & LOW_MASK, Math.min(bits, LOW))
}

const takeLow = (reader: BitReader, bits: number): number => {
  const high = bits > LOW ? reader.take(bits - LOW) << LOW : 0
  return high | reader.take(Math.min(bits, LOW))
}

const putNumber = (writer: BitWriter, value: number, parameter: number): void => {
  const ones = value >>> parameter
  if (ones >= ESCAPE) {
    writer.put((1 << ESCAPE) - 1, ESCAPE)
    putLow(writer, value, 32)
  } else {
    writer.put((1 << (ones + 1)) - 2, ones + 1)
    putLow(writer, value & ((1 << parameter) - 1), parameter)
  }
}

const takeNumber = (reader: BitReader, parameter: number): number => {
  const ones = reader.ones()
  return ones === ESCAPE ? takeLow(reader, 32) : (ones << parameter) | takeLow(reader, parameter)
}

/** Values of up to 24 bits and a sign, −2^24 … 2^24 − 1. */
export const packWhole = (values: Int32Array): Uint8Array => {
  const writer = new BitWriter()
  const differences = new Int32Array(ORDERS * BLOCK)
  for (let from = 0; from < values.length; from += BLOCK) {
    const to = Math.min(values.length, from + BLOCK)
    const { order, parameter } = blockOf(values, from, to, differences)
    writer.put(order, ORDER_BITS)
    writer.put(parameter, PARAMETER_BITS)
    for (let i = 0; i < to - from; i++) {
      putNumber(writer, folded(differences[ORDERS * i + order]!), parameter)
    }
  }
  return writer.end()
}

/** The reverse, exactly: so many values that begin at a byte, and the byte behind them. */
export const unpackWhole = (
  bytes: Uint8Array,
  at: number,
  count: number,
): { readonly values: Int32Array; readonly end: number } => {
  const reader = new BitReader(bytes, at)
  const values = new Int32Array(count)
  let [a, b, c] = [0, 0, 0]
  for (let from = 0; from < count; from += BLOCK) {
    const order = reader.take(ORDER_BITS)
    const parameter = reader.take(PARAMETER_BITS)
    const to = Math.min(count, from + BLOCK)
    for (let i = from; i < to; i++) {
      const difference = unfolded(takeNumber(reader, parameter))
      const foretold = order === 0 ? 0 : order === 1 ? a : order === 2 ? 2 * a - b : 3 * (a - b) + c
      c = b
      b = a
      a = foretold + difference
      values[i] = a
    }
  }
  return { values, end: reader.place }
}
