import { delayDesign, delayTaps } from './fractional-delay.js'
import { addressOf, keepFloat64 } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'

/** A place on a shift curve: at output frame `frame` the signal is moved later by `shift` frames (may be negative). */
export interface ShiftKnot {
  readonly frame: number
  readonly shift: number
}

// Rows of the table of filters between one whole frame and the next. Between two rows a straight line is drawn; what that
// leaves is (2 pi f / (rate * ROWS))^2 / 8 of the sound: -133 dB at 20 kHz at 48 kHz, and less than -145 dB at 10 kHz.
const ROWS = 2048

/**
 * Moves one channel later by a shift that changes slowly: `output[n] = signal(n - shift(n))`. For a lag that drifts.
 *
 * The curve runs straight from knot to knot and stays at the first and last shift outside; frames are counted from the start
 * of the file, so any stretch can be made by itself and cuts change no bit. Where the shift is steep the pitch changes by
 * its slope (0.00001 for 10 ppm), as it should; a sudden step is better made by fading from one fixed delay to another.
 * Filters as in `designDelay`, same band and reach. About five times the work of a fixed delay.
 */
export class VariableDelay {
  /** Frames of input needed before and after those that the shifts point at. */
  readonly halfLength: number
  readonly #taps: number
  readonly #table: Float64Array
  readonly #knots: readonly ShiftKnot[]

  /** `knots`: at least one, frames strictly rising. Slopes must be under 1 in size. RangeError otherwise. */
  constructor(sampleRateHz: number, knots: readonly ShiftKnot[]) {
    checkKnots(knots)
    this.#knots = knots
    const { halfLength, beta } = delayDesign(sampleRateHz)
    this.halfLength = halfLength
    this.#taps = 2 * halfLength
    this.#table = filterTable(halfLength, beta)
  }

  /** Shift at an output frame, frames. */
  shiftAt(frame: number): number {
    return shiftOn(this.#knots, this.#knotBefore(frame), frame)
  }

  /** First frame of input and number of frames that the outputs `firstFrame … firstFrame + count - 1` draw on. */
  inputRange(firstFrame: number, count: number): { readonly start: number; readonly length: number } {
    // Slopes are under 1, so the place in the input never runs backwards.
    const start = Math.floor(firstFrame - this.shiftAt(firstFrame)) - this.halfLength
    const last = firstFrame + Math.max(1, count) - 1
    const end = Math.floor(last - this.shiftAt(last)) + this.halfLength + 2
    return { start, length: end - start }
  }

  /**
   * Fills `output` with the frames from `firstFrame` on. `input[0]` is the signal's frame `inputStart`; it must cover
   * `inputRange`, RangeError otherwise.
   */
  apply(firstFrame: number, input: Float64Array, inputStart: number, output: Float64Array): void {
    const needed = this.inputRange(firstFrame, output.length)
    if (needed.start < inputStart || needed.start + needed.length > inputStart + input.length) {
      throw new RangeError(
        `Input does not cover frames ${needed.start} to ${needed.start + needed.length - 1}`,
      )
    }
    const inside = addressOf(input) >= 0 && addressOf(output) >= 0 && addressOf(this.#table) >= 0
    const places = inside ? placesOf() : null
    const knots = this.#knots
    let knot = this.#knotBefore(firstFrame)
    let waiting = 0
    for (let i = 0; i < output.length; i++) {
      const frame = firstFrame + i
      while (knot + 1 < knots.length && knots[knot + 1]!.frame <= frame) knot++
      const shift = shiftOn(knots, knot, frame)
      const whole = Math.floor(shift)
      const at = frame - whole - this.halfLength - inputStart
      const place = (shift - whole) * ROWS
      // A fraction that rounded up to 1 belongs to the last pair of rows.
      const row = Math.min(ROWS - 1, Math.floor(place))
      if (places === null) {
        output[i] = this.#interpolate(input, at, row, place - row)
        continue
      }
      places.whole[4 * waiting] = 8 * at
      places.whole[4 * waiting + 1] = 8 * this.#taps * row
      places.shares[2 * waiting + 1] = place - row
      waiting++
      if (waiting < MOST_PLACES && i + 1 < output.length) continue
      this.#byKernel(places, input, output, i + 1 - waiting, waiting)
      waiting = 0
    }
  }

  #byKernel(places: Places, input: Float64Array, output: Float64Array, from: number, count: number): void {
    // The last of an odd number is made twice.
    places.whole.copyWithin(4 * count, 4 * count - 4, 4 * count)
    const { byteOffset: table } = this.#table
    const outputAt = output.byteOffset + 8 * from
    places.run.variable(table, 8 * this.#taps, input.byteOffset, places.whole.byteOffset, outputAt, count)
  }

  /** Both rows around the fraction at once, two sums for each, of every other tap: the order is the same for every output. */
  #interpolate(input: Float64Array, at: number, row: number, share: number): number {
    const table = this.#table
    const count = this.#taps
    let a = row * count
    let b = a + count
    let even0 = 0
    let odd0 = 0
    let even1 = 0
    let odd1 = 0
    const end = at + count
    for (let k = at; k < end; k += 2) {
      const x = input[k]!
      const y = input[k + 1]!
      even0 += table[a]! * x
      odd0 += table[a + 1]! * y
      even1 += table[b]! * x
      odd1 += table[b + 1]! * y
      a += 2
      b += 2
    }
    const first = even0 + odd0
    return first + share * (even1 + odd1 - first)
  }

  /** Index of the last knot at or before a frame; 0 before the first. */
  #knotBefore(frame: number): number {
    let low = 0
    let high = this.#knots.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if (this.#knots[middle]!.frame <= frame) low = middle
      else high = middle - 1
    }
    return low
  }
}

const shiftOn = (knots: readonly ShiftKnot[], index: number, frame: number): number => {
  const from = knots[index]!
  const to = knots[index + 1]
  if (to === undefined || frame <= from.frame) return from.shift
  return from.shift + ((frame - from.frame) / (to.frame - from.frame)) * (to.shift - from.shift)
}

const checkKnots = (knots: readonly ShiftKnot[]): void => {
  if (knots.length === 0) throw new RangeError('A shift curve needs at least one knot')
  for (let i = 1; i < knots.length; i++) {
    const run = knots[i]!.frame - knots[i - 1]!.frame
    const rise = Math.abs(knots[i]!.shift - knots[i - 1]!.shift)
    if (!(run > 0 && rise < run))
      throw new RangeError(`Shift curve runs backwards or too steeply at knot ${i}`)
  }
}

// One per shape in a thread: 1 MB for 64 taps, 1.5 MB for 96, 0.1 s to make.
const tables = new Map<string, Float64Array>()

const filterTable = (halfLength: number, beta: number): Float64Array => {
  const key = `${halfLength} ${beta}`
  const known = tables.get(key)
  if (known !== undefined) return known
  const length = (ROWS + 1) * 2 * halfLength
  const table = keepFloat64(length) ?? new Float64Array(length)
  for (let row = 0; row <= ROWS; row++) {
    table.set(delayTaps(row / ROWS, halfLength, beta), row * 2 * halfLength)
  }
  tables.set(key, table)
  return table
}

/** Outputs that are handed to the kernel at a time. */
const MOST_PLACES = 1024

/** Where each output draws on the input and the table; two views of the same memory. */
interface Places {
  readonly run: Kernels
  readonly whole: Int32Array
  readonly shares: Float64Array
}

let known: Places | null | undefined

const placesOf = (): Places | null => {
  if (known === undefined) {
    const run = kernels()?.run
    const shares = keepFloat64(2 * MOST_PLACES + 2)
    known =
      run === undefined || shares === null
        ? null
        : { run, shares, whole: new Int32Array(shares.buffer, shares.byteOffset, 2 * shares.length) }
  }
  return known
}
