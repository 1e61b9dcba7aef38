import { RealFft } from './fft.js'
import { hann } from './windows.js'

/** Index of a channel and of the one it is compared with. */
export type ChannelPair = readonly [number, number]

/**
 * Sums of auto- and cross-spectra of several channels over Hann-windowed frames.
 *
 * `Sij = sum conj(Xi) Xj` over the frames added: a channel j that is late by d frames against i has the phase -2 pi f d in
 * Sij. Nothing is scaled; divide by `frames` (and by `windowPower` times the sample rate, times two, for a one-sided power
 * density).
 */
export class CrossSpectra {
  readonly fft: RealFft
  readonly size: number
  readonly bins: number
  readonly pairs: readonly ChannelPair[]
  /** Sum of |Xc|^2 per channel, one number per bin. */
  readonly auto: readonly Float64Array[]
  /** Real and imaginary parts of Sij per pair, in the order of `pairs`. */
  readonly real: readonly Float64Array[]
  readonly imaginary: readonly Float64Array[]
  /** Spectra of the frame added last, one per channel, as `RealFft.forward` gives them. */
  readonly latest: readonly Float64Array[]
  /** Sum of the squares of the window. */
  readonly windowPower: number
  #frames = 0
  readonly #window: Float64Array
  readonly #windowed: Float64Array

  /** `pairs`: all pairs i < j by default. */
  constructor(channels: number, size: number, pairs: readonly ChannelPair[] = allPairs(channels)) {
    this.fft = new RealFft(size)
    this.size = size
    this.bins = this.fft.bins
    this.pairs = pairs
    const perBin = (): Float64Array => new Float64Array(this.bins)
    this.auto = Array.from({ length: channels }, perBin)
    this.real = pairs.map(perBin)
    this.imaginary = pairs.map(perBin)
    this.latest = Array.from({ length: channels }, () => new Float64Array(size + 2))
    this.#window = hann(size)
    this.windowPower = this.#window.reduce((sum, w) => sum + w * w, 0)
    this.#windowed = new Float64Array(size)
  }

  get frames(): number {
    return this.#frames
  }

  /** Adds one frame: `size` samples of each channel from `start` on (one number, or one per channel to line paths up). */
  add(block: readonly Float64Array[], start: number | readonly number[] = 0, weight = 1): void {
    for (let c = 0; c < this.auto.length; c++) {
      this.transform(block[c]!, typeof start === 'number' ? start : start[c]!, this.latest[c]!)
    }
    this.accumulate(weight)
  }

  /** Window and transform alone, without adding anything. */
  transform(samples: Float64Array, start: number, spectrum: Float64Array): void {
    const windowed = this.#windowed
    const window = this.#window
    for (let i = 0; i < this.size; i++) windowed[i] = window[i]! * samples[start + i]!
    this.fft.forward(windowed, spectrum)
  }

  /** Adds the spectra in `latest` as they stand. */
  accumulate(weight = 1): void {
    for (let c = 0; c < this.auto.length; c++) addPower(this.latest[c]!, weight, this.auto[c]!)
    for (let p = 0; p < this.pairs.length; p++) {
      const [i, j] = this.pairs[p]!
      addProduct(this.latest[i]!, this.latest[j]!, weight, this.real[p]!, this.imaginary[p]!)
    }
    this.#frames += weight
  }

  /** Back to no frames. */
  clear(): void {
    for (const sums of [...this.auto, ...this.real, ...this.imaginary]) sums.fill(0)
    this.#frames = 0
  }
}

/** All pairs i < j of `channels` channels, in the order 01, 02, …, 12, …. */
export const allPairs = (channels: number): ChannelPair[] => {
  const pairs: ChannelPair[] = []
  for (let i = 0; i < channels; i++) for (let j = i + 1; j < channels; j++) pairs.push([i, j])
  return pairs
}

const addPower = (x: Float64Array, weight: number, sums: Float64Array): void => {
  for (let k = 0; k < sums.length; k++) {
    const re = x[2 * k]!
    const im = x[2 * k + 1]!
    sums[k] = sums[k]! + weight * (re * re + im * im)
  }
}

const addProduct = (
  x: Float64Array,
  y: Float64Array,
  weight: number,
  real: Float64Array,
  imaginary: Float64Array,
): void => {
  for (let k = 0; k < real.length; k++) {
    const xRe = x[2 * k]!
    const xIm = x[2 * k + 1]!
    const yRe = y[2 * k]!
    const yIm = y[2 * k + 1]!
    real[k] = real[k]! + weight * (xRe * yRe + xIm * yIm)
    imaginary[k] = imaginary[k]! + weight * (xRe * yIm - xIm * yRe)
  }
}
