import * as portable from '../terms/portable.js'
import { complexForward, type FftTables, fftTables, realForward } from './complex-fft.js'

/**
 * Fourier transform of real frames.
 *
 * The frame's even and odd samples are taken as one complex frame of half the length, transformed, and untangled: half the
 * work of a complex transform. Forward: `X[k] = sum x[n] e^(-j 2 pi k n / size)`, not scaled. Inverse: divided by `size`, so
 * that the round trip gives the frame back (to about -300 dB). Kernel and twin give the same bits.
 */
export class RealFft {
  readonly size: number
  /** Number of bins, `size / 2 + 1`: from 0 Hz to half the sample rate, both included. */
  readonly bins: number
  readonly #tables: FftTables

  /** `size`: a power of two, at least 4. */
  constructor(size: number) {
    if (!Number.isInteger(portable.log2(size)) || size < 4) {
      throw new RangeError(`FFT size must be a power of two of at least 4, not ${size}`)
    }
    this.size = size
    this.bins = size / 2 + 1
    this.#tables = fftTables(size / 2)
  }

  /** `input`: `size` samples, left as they are. `spectrum`: real and imaginary part of every bin in turn, `size + 2` numbers. */
  forward(input: Float64Array, spectrum: Float64Array): void {
    this.#check(input.length, spectrum.length)
    realForward(this.#tables, input, spectrum)
  }

  /** The reverse of `forward`. The imaginary parts of the first and last bin are taken as 0. */
  inverse(spectrum: Float64Array, output: Float64Array): void {
    this.#check(output.length, spectrum.length)
    const { x: packed, turns } = this.#tables
    const half = this.size / 2
    // Real and imaginary part change places on the way in and out: that turns the forward transform into the inverse one.
    packed[1] = 0.5 * (spectrum[0]! + spectrum[2 * half]!)
    packed[0] = 0.5 * (spectrum[0]! - spectrum[2 * half]!)
    for (let k = 1, m = half - 1; k <= m; k++, m--) {
      const aRe = spectrum[2 * k]!
      const aIm = spectrum[2 * k + 1]!
      const bRe = spectrum[2 * m]!
      const bIm = spectrum[2 * m + 1]!
      const evenRe = 0.5 * (aRe + bRe)
      const evenIm = 0.5 * (aIm - bIm)
      const turnedRe = 0.5 * (aRe - bRe)
      const turnedIm = 0.5 * (aIm + bIm)
      const c = turns[4 * k]!
      const s = turns[4 * k + 2]!
      const oddRe = turnedRe * c - turnedIm * s
      const oddIm = turnedIm * c + turnedRe * s
      packed[2 * k + 1] = evenRe - oddIm
      packed[2 * k] = evenIm + oddRe
      packed[2 * m + 1] = evenRe + oddIm
      packed[2 * m] = oddRe - evenIm
    }
    const done = complexForward(this.#tables, packed)
    for (let i = 0; i < 2 * half; i += 2) {
      output[i] = done[i + 1]! / half
      output[i + 1] = done[i]! / half
    }
  }

  // Short buffers would give NaN without a word.
  #check(samples: number, numbers: number): void {
    if (samples !== this.size || numbers !== this.size + 2) {
      throw new RangeError(
        `FFT of size ${this.size} needs ${this.size} samples and ${this.size + 2} spectrum numbers, got ${samples} and ${numbers}`,
      )
    }
  }
}
