import * as portable from '../terms/portable.js'
import { addFrames, filterFrames } from './fir.js'
import { float64 } from './kernel/arena.js'
import { kaiserAt, sinc } from './windows.js'

export interface DecimationOptions {
  /** Share of the new half rate that is kept flat and free of aliases, over 0 and under 1; 0.8 by default. Less is cheaper. */
  readonly bandFraction?: number
  /** How far down what folds into that band is, dB, 50 or more; 100 by default. The band is flat to the same measure. */
  readonly attenuationDb?: number
}

/**
 * Takes one frame in `factor` of one channel, after a linear-phase low-pass, as a stream.
 *
 * Output frame k stands at input frame `k * factor`: the filter's delay is taken off. Outside the signal is silence. Block
 * sizes change no bit. The filter is a sinc that is 6 dB down at the new half rate, under a Kaiser window; beta and length
 * by Kaiser's formulas (1974), 6 dB further than asked, since they fall short by about that at deep attenuations.
 *
 * Inside, the input is dealt out to `factor` streams, on which the parts of the filter run without gaps. In the first stream
 * all taps but the middle one are zeros of the sinc.
 */
export class Decimator {
  readonly factor: number
  /** Frames before and after an output's own place that its value draws on. */
  readonly halfLength: number
  readonly #middle: number
  /** Frames of each stream before an output's place. */
  readonly #reach: number
  readonly #taps: readonly Float64Array[]
  /** Taps 1, 2, … frames from the middle. */
  readonly #oneSide: Float64Array
  #streams: Float64Array[]
  /** Frames in: counted from the first that the streams still hold, `reach` frames before the next output. */
  #held: number
  #scratch: Float64Array = new Float64Array(0)

  /** `factor`: a whole number of 2 or more. */
  constructor(factor: number, { bandFraction = 0.8, attenuationDb = 100 }: DecimationOptions = {}) {
    if (!Number.isInteger(factor) || factor < 2) throw new RangeError(`Cannot take one frame in ${factor}`)
    const target = attenuationDb + 6
    const transition = (2 * Math.PI * (1 - bandFraction)) / factor
    const half = (target - 7.95) / (2.285 * transition) / 2
    // An even reach makes the part filters a multiple of four long.
    this.#reach = 2 * Math.ceil(half / factor / 2)
    this.factor = factor
    this.halfLength = factor * this.#reach - 1
    this.#middle = 1 / factor
    const beta = 0.1102 * (target - 8.7)
    const tap = (n: number): number =>
      (sinc(n / factor) * kaiserAt(n / (factor * this.#reach), beta)) / factor
    this.#taps = Array.from({ length: factor - 1 }, (_, q) =>
      Float64Array.from({ length: 2 * this.#reach }, (__, j) => tap((j - this.#reach) * factor + q + 1)),
    )
    this.#oneSide = Float64Array.from({ length: this.halfLength }, (_, i) =>
      (i + 1) % factor === 0 ? 0 : tap(i + 1),
    )
    this.#streams = Array.from({ length: factor }, () => float64(4 * this.#reach))
    this.#held = this.#reach * factor
  }

  /** The most frames that a push of so many can give. */
  outputLength(frames: number): number {
    return Math.ceil(frames / this.factor) + 1
  }

  /** Takes the first `frames` of the input, by default all; writes what is ready to `output` and returns how much that is. */
  push(input: Float64Array, output: Float64Array, frames = input.length): number {
    this.#deal(input, frames)
    const ready = Math.floor((this.#held - this.#reach * this.factor - this.halfLength - 1) / this.factor) + 1
    const count = Math.max(0, ready)
    if (count > output.length)
      throw new RangeError(`Decimator gives ${count} frames, output holds ${output.length}`)
    this.#filter(output, count)
    for (const stream of this.#streams) stream.copyWithin(0, count, Math.ceil(this.#held / this.factor))
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

  #deal(input: Float64Array, frames: number): void {
    const { factor } = this
    const needed = Math.ceil((this.#held + frames) / factor)
    if (needed > this.#streams[0]!.length) {
      this.#streams = this.#streams.map(stream => {
        const larger = float64(2 * needed)
        larger.set(stream)
        return larger
      })
    }
    for (let q = 0; q < factor; q++) {
      // First frame of this push that falls to stream q.
      const stream = this.#streams[(this.#held + q) % factor]!
      let place = Math.floor((this.#held + q) / factor)
      for (let i = q; i < frames; i += factor) stream[place++] = input[i]!
    }
    this.#held += frames
  }

  #filter(output: Float64Array, count: number): void {
    if (this.#scratch.length < count) this.#scratch = float64(count)
    const scratch = this.#scratch
    const whole = this.#streams[0]!
    for (let i = 0; i < count; i++) output[i] = this.#middle * whole[i + this.#reach]!
    for (let q = 1; q < this.factor; q++) {
      filterFrames(this.#taps[q - 1]!, this.#streams[q]!, 0, scratch, count)
      addFrames(output, scratch, count)
    }
  }
}
