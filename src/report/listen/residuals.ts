/**
 * Whole numbers without loss in few bytes. Block by block the difference to what the values before foretell is kept (fixed polynomial
 * predictors up to the third order), in Golomb-Rice code with the parameter that takes least room (T. Robinson, "SHORTEN: simple lossless
 * and near-lossless waveform compression", 1994). The same bytes on every machine; no part of any file format.
 */

export const BLOCK = 512
export const ORDER_BITS = 2
export const PARAMETER_BITS = 5
/** So many ones in a row say that the number follows as it is. */
export const ESCAPE = 24
export const MOST_PARAMETER = 27

const unfolded = (value: number): number => (value >>> 1) ^ -(value & 1)

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

/** Longer numbers are written in two parts, the lower of so many bits. */
export const LOW = 16

const takeLow = (reader: BitReader, bits: number): number => {
  const high = bits > LOW ? reader.take(bits - LOW) << LOW : 0
  return high | reader.take(Math.min(bits, LOW))
}

const takeNumber = (reader: BitReader, parameter: number): number => {
  const ones = reader.ones()
  return ones === ESCAPE ? takeLow(reader, 32) : (ones << parameter) | takeLow(reader, parameter)
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
