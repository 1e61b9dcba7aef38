import * as portable from '../terms/portable.js'
import { dealtLine, type HeldLine, oneLine } from './held-line.js'
import { kaiserAt, sinc } from './windows.js'

export interface DecimationOptions {
  /** Share of the new half rate that is kept flat and free of aliases, over 0 and under 1; 0.8 by default. Less is cheaper. */
  readonly bandFraction?: number
  /** How far down what folds into that band is, dB, 50 or more; 100 by default. The band is flat to the same measure. */
  readonly attenuationDb?: number
}

/** From here on the whole filter is run. */
const LARGE = 5

/**
 * Takes one frame in `factor` of one channel, after a linear-phase low-pass, as a stream.
 *
 * Output frame k stands at input frame `k * factor`: the filter's delay is taken off. Outside the signal is silence. Block
 * sizes change no bit. The filter is a sinc that is 6 dB down at the new half rate, under a Kaiser window; beta and length
 * by Kaiser's formulas (1974), 6 dB further than asked, since they fall short by about that at deep attenuations.
 *
 * Small factors deal the input out to as many streams, on which the parts of the filter run without gaps, and leave out the zeros of the
 * sinc; large ones (5 and more), where those are few, run the filter as it is, and only where an output stands.
 */
export class Decimator {
  readonly factor: number
  /** Frames before and after an output's own place that its value draws on. */
  readonly halfLength: number
  readonly #middle: number
  /** Input that outputs still draw on, from `#lead` frames before the next output. */
  readonly #line: HeldLine
  readonly #lead: number
  #held: number
  /** Taps 1, 2, … frames from the middle. */
  readonly #oneSide: Float64Array

  /** `factor`: a whole number of 2 or more. */
  constructor(factor: number, { bandFraction = 0.8, attenuationDb = 100 }: DecimationOptions = {}) {
    if (!Number.isInteger(factor) || factor < 2) throw new RangeError(`Cannot take one frame in ${factor}`)
    const target = attenuationDb + 6
    const transition = (2 * Math.PI * (1 - bandFraction)) / factor
    const half = (target - 7.95) / (2.285 * transition) / 2
    // An even reach makes the part filters a multiple of four long.
    const reach = 2 * Math.ceil(half / factor / 2)
    this.factor = factor
    this.halfLength = factor * reach - 1
    this.#middle = 1 / factor
    const beta = 0.1102 * (target - 8.7)
    const tap = (n: number): number => (sinc(n / factor) * kaiserAt(n / (factor * reach), beta)) / factor
    this.#oneSide = Float64Array.from({ length: this.halfLength }, (_, i) =>
      (i + 1) % factor === 0 ? 0 : tap(i + 1),
    )
    this.#lead = factor * reach
    this.#held = this.#lead
    this.#line = factor < LARGE ? dealtLine(factor, reach, this.#middle, tap) : oneLine(factor, reach, tap)
  }

  /** The most frames that a push of so many can give. */
  outputLength(frames: number): number {
    return Math.ceil(frames / this.factor) + 1
  }

  /** Takes the first `frames` of the input, by default all; writes what is ready to `output` and returns how much that is. */
  push(input: Float64Array, output: Float64Array, frames = input.length): number {
    this.#line.append(input, frames, this.#held)
    this.#held += frames
    const ready = Math.floor((this.#held - this.#lead - this.halfLength - 1) / this.factor) + 1
    const count = Math.max(0, ready)
    if (count > output.length)
      throw new RangeError(`Decimator gives ${count} frames, output holds ${output.length}`)
    this.#line.filter(output, count)
    this.#line.drop(count, this.#held)
    this.#held -= count * this.factor
    return count
  }

  /** Call once after the last frame: writes the outputs whose places were reached but which wait for what follows: silence. */
  finish(output: Float64Array): number {
    return this.push(new Float64Array(this.halfLength), output)
  }

  /** |H|^2 at a frequency given as a share of the input rate, 0 … 0.5. Above half the new rate this is what folds down. */
  powerResponse(cyclesPerFrame: number): number {
    const turn = 2 * portable.cos(2 * Math.PI * cyclesPerFrame)
    // cos(w n) from the two before it; the taps are alike on both sides of the middle.
    let before = 1
    let cosine = turn / 2
    let sum = this.#middle
    for (const tap of this.#oneSide) {
      sum += 2 * tap * cosine
      const next = turn * cosine - before
      before = cosine
      cosine = next
    }
    return sum * sum
  }
}
