/** The parts of the package `fft.js` that are used here; it comes without types of its own. */
declare module 'fft.js' {
  class FFT {
    /** `size`: number of complex points, a power of two, at least 2. */
    constructor(size: number)
    /** Forward, not scaled. Interleaved real and imaginary parts, 2 * size numbers each; the two must differ. */
    transform(out: Float64Array, data: Float64Array): void
    /** Inverse, divided by size. */
    inverseTransform(out: Float64Array, data: Float64Array): void
  }
  export = FFT
}
