import { float32, float64 } from './kernel/arena.js'
import { SingleFft } from './single-fft.js'
import { BATCH, crossInto, powerInto, windowInto } from './single-sums.js'
import { hann } from './windows.js'

/** Index of a channel and of the one it is compared with. */
export type ChannelPair = readonly [number, number]

// Bins that are summed in one go, for all pairs: small enough for the spectra to stay in fast memory. A multiple of 4.
const TILE = 512

/**
 * Sums of auto- and cross-spectra of several channels over Hann-windowed frames. Spectra are in single precision, sums in double.
 *
 * `Sij = sum conj(Xi) Xj` over the frames added: a channel j that is late by d frames against i has the phase -2 pi f d in
 * Sij. Nothing is scaled; divide by `frames` (and by `windowPower` times the sample rate, times two, for a one-sided power
 * density).
 */
export class CrossSpectra {
  readonly fft: SingleFft
  readonly size: number
  readonly bins: number
  readonly pairs: readonly ChannelPair[]
  /** Sum of the squares of the window. */
  readonly windowPower: number
  readonly #auto: readonly Float64Array[]
  /** Real parts, then imaginary parts, as a spectrum. */
  readonly #cross: readonly Float64Array[]
  /**
   * Per channel the spectra of a batch of frames, one behind the other, and views of each. Sums of many pairs do not fit into fast memory:
   * they are fetched once for a batch.
   */
  readonly #batches: readonly Float32Array[]
  readonly #slots: readonly (readonly Float32Array[])[]
  #waiting = 0
  #frames = 0
  readonly #window: Float64Array

  /** `size`: at least 32. `pairs`: all pairs i < j by default. */
  constructor(channels: number, size: number, pairs: readonly ChannelPair[] = allPairs(channels)) {
    this.fft = new SingleFft(size)
    this.size = size
    this.bins = this.fft.bins
    this.pairs = pairs
    const length = 2 * this.fft.apart
    this.#auto = Array.from({ length: channels }, () => float64(this.bins))
    this.#cross = pairs.map(() => float64(length))
    this.#batches = Array.from({ length: channels }, () => float32(BATCH * length))
    this.#slots = Array.from({ length: BATCH }, (_, slot) =>
      this.#batches.map(batch => batch.subarray(slot * length, (slot + 1) * length)),
    )
    this.#window = float64(size)
    this.#window.set(hann(size))
    this.windowPower = this.#window.reduce((sum, w) => sum + w * w, 0)
  }

  get frames(): number {
    return this.#frames
  }

  /** Sum of |Xc|^2 per channel, one number per bin; copies. */
  get auto(): readonly Float64Array[] {
    return this.#auto.map(sums => sums.slice())
  }

  /** Real parts of Sij per pair, in the order of `pairs`; copies. */
  get real(): readonly Float64Array[] {
    this.#sumWaiting()
    return this.#cross.map(sums => sums.slice(0, this.bins))
  }

  /** Imaginary parts of Sij. */
  get imaginary(): readonly Float64Array[] {
    this.#sumWaiting()
    const { apart } = this.fft
    return this.#cross.map(sums => sums.slice(apart, apart + this.bins))
  }

  /** Where the spectra of the frame to be added next belong, one per channel as `SingleFft.forward` gives them. */
  get latest(): readonly Float32Array[] {
    return this.#slots[this.#waiting]!
  }

  /** Adds one frame: `size` samples of each channel from `start` on (one number, or one per channel to line paths up). */
  add(block: readonly Float64Array[], start: number | readonly number[] = 0): void {
    const { latest } = this
    for (let c = 0; c < latest.length; c++) {
      windowInto(this.#window, block[c]!, typeof start === 'number' ? start : start[c]!, this.fft.frame)
      this.fft.forward(latest[c]!)
    }
    this.accumulate()
  }

  /** Adds the spectra in `latest`, which is another place afterwards. */
  accumulate(): void {
    for (let c = 0; c < this.#auto.length; c++) powerInto(this.latest[c]!, this.#auto[c]!)
    this.#frames++
    this.#waiting++
    if (this.#waiting === BATCH) this.#sumWaiting()
  }

  #sumWaiting(): void {
    if (this.#waiting === 0) return
    for (const empty of this.#slots.slice(this.#waiting)) for (const spectrum of empty) spectrum.fill(0)
    const { apart } = this.fft
    for (let from = 0; from < apart; from += TILE) {
      const to = Math.min(apart, from + TILE)
      for (let p = 0; p < this.pairs.length; p++) {
        const [i, j] = this.pairs[p]!
        crossInto(this.#batches[i]!, this.#batches[j]!, this.#cross[p]!, from, to)
      }
    }
    this.#waiting = 0
  }
}

/** All pairs i < j of `channels` channels, in the order 01, 02, …, 12, …. */
export const allPairs = (channels: number): ChannelPair[] => {
  const pairs: ChannelPair[] = []
  for (let i = 0; i < channels; i++) for (let j = i + 1; j < channels; j++) pairs.push([i, j])
  return pairs
}
