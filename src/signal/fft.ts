import FFT from 'fft.js'

/**
 * Fourier transform of real frames.
 *
 * The frame's even and odd samples are taken as one complex frame of half the length, transformed, and untangled: half the
 * work of a complex transform. Forward: `X[k] = sum x[n] e^(-j 2 pi k n / size)`, not scaled. Inverse: divided by `size`, so
 * that the round trip gives the frame back (to about -300 dB). One instance per size and thread: it keeps work space.
 */
export class RealFft {
  readonly size: number
  /** Number of bins, `size / 2 + 1`: from 0 Hz to half the sample rate, both included. */
  readonly bins: number
  readonly #half: FFT
  readonly #packed: Float64Array
  readonly #cosine: Float64Array
  readonly #sine: Float64Array

  /** `size`: a power of two, at least 4. */
  constructor(size: number) {
    if (!Number.isInteger(Math.log2(size)) || size < 4) {
      throw new RangeError(`FFT size must be a power of two of at least 4, not ${size}`)
    }
    this.size = size
    this.bins = size / 2 + 1
    this.#half = new FFT(size / 2)
    this.#packed = new Float64Array(size)
    this.#cosine = new Float64Array(size / 4 + 1)
    this.#sine = new Float64Array(size / 4 + 1)
    for (let k = 0; k <= size / 4; k++) {
      this.#cosine[k] = Math.cos((2 * Math.PI * k) / size)
      this.#sine[k] = Math.sin((2 * Math.PI * k) / size)
    }
  }

  /** `input`: `size` samples, left as they are. `spectrum`: real and imaginary part of every bin in turn, `size + 2` numbers. */
  forward(input: Float64Array, spectrum: Float64Array): void {
    this.#check(input.length, spectrum.length)
    const packed = this.#packed
    const half = this.size / 2
    this.#half.transform(packed, input)
    spectrum[0] = packed[0]! + packed[1]!
    spectrum[1] = 0
    spectrum[2 * half] = packed[0]! - packed[1]!
    spectrum[2 * half + 1] = 0
    for (let k = 1, m = half - 1; k <= m; k++, m--) {
      const aRe = packed[2 * k]!
      const aIm = packed[2 * k + 1]!
      const bRe = packed[2 * m]!
      const bIm = packed[2 * m + 1]!
      const evenRe = 0.5 * (aRe + bRe)
      const evenIm = 0.5 * (aIm - bIm)
      const oddRe = 0.5 * (aIm + bIm)
      const oddIm = 0.5 * (bRe - aRe)
      const c = this.#cosine[k]!
      const s = this.#sine[k]!
      const turnedRe = oddRe * c + oddIm * s
      const turnedIm = oddIm * c - oddRe * s
      spectrum[2 * k] = evenRe + turnedRe
      spectrum[2 * k + 1] = evenIm + turnedIm
      spectrum[2 * m] = evenRe - turnedRe
      spectrum[2 * m + 1] = turnedIm - evenIm
    }
  }

  /** The reverse of `forward`. The imaginary parts of the first and last bin are taken as 0. */
  inverse(spectrum: Float64Array, output: Float64Array): void {
    this.#check(output.length, spectrum.length)
    const packed = this.#packed
    const half = this.size / 2
    packed[0] = 0.5 * (spectrum[0]! + spectrum[2 * half]!)
    packed[1] = 0.5 * (spectrum[0]! - spectrum[2 * half]!)
    for (let k = 1, m = half - 1; k <= m; k++, m--) {
      const aRe = spectrum[2 * k]!
      const aIm = spectrum[2 * k + 1]!
      const bRe = spectrum[2 * m]!
      const bIm = spectrum[2 * m + 1]!
      const evenRe = 0.5 * (aRe + bRe)
      const evenIm = 0.5 * (aIm - bIm)
      const turnedRe = 0.5 * (aRe - bRe)
      const turnedIm = 0.5 * (aIm + bIm)
      const c = this.#cosine[k]!
      const s = this.#sine[k]!
      const oddRe = turnedRe * c - turnedIm * s
      const oddIm = turnedIm * c + turnedRe * s
      packed[2 * k] = evenRe - oddIm
      packed[2 * k + 1] = evenIm + oddRe
      packed[2 * m] = evenRe + oddIm
      packed[2 * m + 1] = oddRe - evenIm
    }
    this.#half.inverseTransform(output, packed)
  }

  // The package gives NaN for short buffers without a word.
  #check(samples: number, numbers: number): void {
    if (samples !== this.size || numbers !== this.size + 2) {
      throw new RangeError(
        `FFT of size ${this.size} needs ${this.size} samples and ${this.size + 2} spectrum numbers, got ${samples} and ${numbers}`,
      )
    }
  }
}
