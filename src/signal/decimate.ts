import { kaiserAt, sinc } from './windows.js'

export interface DecimationOptions {
  /** Share of the new half rate that is kept flat and free of aliases, 0 … 1; 0.8 by default. Less is cheaper. */
  readonly bandFraction?: number
  /** How far down what folds into that band is, dB; 100 by default. The band itself is flat to the same measure. */
  readonly attenuationDb?: number
}

/**
 * Takes one frame in `factor`, after a linear-phase low-pass, as a stream of one channel.
 *
 * Output frame k stands at input frame k * factor: the filter's delay is taken off. Before the first input the signal is
 * taken as silence. Each output adds its products in one order, so block sizes change no bit. Kaiser-windowed sinc with its
 * half-power point region centred on the new half rate; taps = (A - 7.95) / (2.285 transition) (Kaiser 1974).
 */
export class Decimator {
  readonly factor: number
  /** Frames that `finish` needs to push through. */
  readonly halfLength: number
  readonly #taps: Float64Array
  #work: Float64Array
  // Where the next output's first tap stands in the work array, and how much of the array is filled.
  #next: number
  #filled: number

  constructor(factor: number, { bandFraction = 0.8, attenuationDb = 100 }: DecimationOptions = {}) {
    this.factor = factor
    const transition = (2 * Math.PI * (1 - bandFraction)) / factor
    const target = attenuationDb + 6
    const half = (target - 7.95) / (2.285 * transition) / 2
    this.halfLength = factor * Math.max(1, Math.ceil(half / factor)) - 1
    const beta = 0.1102 * (target - 8.7)
    this.#taps = Float64Array.from({ length: 2 * this.halfLength + 1 }, (_, i) => {
      const position = i - this.halfLength
      return (sinc(position / factor) * kaiserAt(position / (this.halfLength + 1), beta)) / factor
    })
    this.#work = new Float64Array(4096 + this.#taps.length)
    this.#next = 0
    this.#filled = this.halfLength
  }

  /** Most frames that a push of `frames` can give. */
  outputLength(frames: number): number {
    return Math.ceil(frames / this.factor) + 1
  }

  /** Writes what is ready to `output` and returns how many frames that is. */
  push(input: Float64Array, output: Float64Array, frames = input.length): number {
    this.#append(input, frames)
    const ready = Math.floor((this.#filled - this.#next - this.#taps.length) / this.factor) + 1
    const count = Math.max(0, ready)
    if (count > output.length)
      throw new RangeError(`Decimator gives ${count} frames, output holds ${output.length}`)
    this.#filter(output, count)
    this.#next += count * this.factor
    return count
  }

  /** Pushes silence until the last input frame is through. */
  finish(output: Float64Array): number {
    return this.push(new Float64Array(this.halfLength), output)
  }

  /** |H|^2 at a frequency given as a share of the input rate, 0 … 0.5. */
  powerResponse(cyclesPerFrame: number): number {
    let sum = this.#taps[this.halfLength]!
    for (let n = 1; n <= this.halfLength; n++) {
      sum += 2 * this.#taps[this.halfLength + n]! * Math.cos(2 * Math.PI * cyclesPerFrame * n)
    }
    return sum * sum
  }

  #append(input: Float64Array, frames: number): void {
    if (this.#filled + frames > this.#work.length) {
      const rest = this.#work.subarray(this.#next, this.#filled)
      const needed = rest.length + frames
      if (needed > this.#work.length) {
        const larger = new Float64Array(2 * needed)
        larger.set(rest)
        this.#work = larger
      } else {
        this.#work.copyWithin(0, this.#next, this.#filled)
      }
      this.#filled -= this.#next
      this.#next = 0
    }
    this.#work.set(frames === input.length ? input : input.subarray(0, frames), this.#filled)
    this.#filled += frames
  }

  // Every factor-th tap from the middle is 0 (but the middle): those residues are left out.
  #filter(output: Float64Array, count: number): void {
    const { factor } = this
    const taps = this.#taps
    const work = this.#work
    const middle = this.halfLength
    const residue = middle % factor
    for (let o = 0; o < count; o++) {
      const first = this.#next + o * factor
      let sum = taps[middle]! * work[first + middle]!
      for (let q = 0; q < factor; q++) {
        if (q === residue && factor > 1) continue
        for (let k = q; k < taps.length; k += factor) sum += taps[k]! * work[first + k]!
      }
      output[o] = sum
    }
  }
}
