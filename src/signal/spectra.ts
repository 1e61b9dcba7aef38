import { RealFft } from './fft.js'
import { float64 } from './kernel/arena.js'
import { addCross, addCrossOfFour, addPower } from './spectral-sums.js'
import { hann } from './windows.js'

/** Index of a channel and of the one it is compared with. */
export type ChannelPair = readonly [number, number]

// So many frames are taken together before they are summed: sums of many pairs do not fit into fast memory and are fetched once for all.
const BATCH = 4
// Bins that are summed in one go, for all pairs: small enough for the spectra to stay in fast memory.
const TILE = 512

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
  /** Sum of the squares of the window. */
  readonly windowPower: number
  readonly #auto: readonly Float64Array[]
  readonly #cross: readonly Float64Array[]
  /** Per channel the spectra of a batch of frames, one behind the other, and views of each. */
  readonly #batches: readonly Float64Array[]
  readonly #slots: readonly (readonly Float64Array[])[]
  #waiting = 0
  #frames = 0
  readonly #window: Float64Array
  readonly #windowed: Float64Array

  /** `pairs`: all pairs i < j by default. */
  constructor(channels: number, size: number, pairs: readonly ChannelPair[] = allPairs(channels)) {
    this.fft = new RealFft(size)
    this.size = size
    this.bins = this.fft.bins
    this.pairs = pairs
    this.#auto = Array.from({ length: channels }, () => float64(this.bins))
    this.#cross = pairs.map(() => float64(2 * this.bins))
    this.#batches = Array.from({ length: channels }, () => float64(BATCH * (size + 2)))
    this.#slots = Array.from({ length: BATCH }, (_, slot) =>
      this.#batches.map(batch => batch.subarray(slot * (size + 2), (slot + 1) * (size + 2))),
    )
    this.#window = hann(size)
    this.windowPower = this.#window.reduce((sum, w) => sum + w * w, 0)
    this.#windowed = new Float64Array(size)
  }

  get frames(): number {
    return this.#frames
  }

  /** Sum of |Xc|^2 per channel, one number per bin; copies. */
  get auto(): readonly Float64Array[] {
    this.#sumWaiting()
    return this.#auto.map(sums => sums.slice())
  }

  /** Real parts of Sij per pair, in the order of `pairs`; copies. */
  get real(): readonly Float64Array[] {
    return this.#parts(0)
  }

  /** Imaginary parts of Sij. */
  get imaginary(): readonly Float64Array[] {
    return this.#parts(1)
  }

  /** Where the spectra of the frame to be added next belong, one per channel as `RealFft.forward` gives them. */
  get latest(): readonly Float64Array[] {
    return this.#slots[this.#waiting]!
  }

  /** Adds one frame: `size` samples of each channel from `start` on (one number, or one per channel to line paths up). */
  add(block: readonly Float64Array[], start: number | readonly number[] = 0): void {
    const { latest } = this
    for (let c = 0; c < latest.length; c++) {
      this.transform(block[c]!, typeof start === 'number' ? start : start[c]!, latest[c]!)
    }
    this.accumulate()
  }

  /** Window and transform alone, without adding anything. */
  transform(samples: Float64Array, start: number, spectrum: Float64Array): void {
    const windowed = this.#windowed
    const window = this.#window
    for (let i = 0; i < this.size; i++) windowed[i] = window[i]! * samples[start + i]!
    this.fft.forward(windowed, spectrum)
  }

  /** Adds the spectra in `latest`, which is another place afterwards. */
  accumulate(): void {
    for (let c = 0; c < this.#auto.length; c++) addPower(this.latest[c]!, this.#auto[c]!)
    this.#frames++
    this.#waiting++
    if (this.#waiting === BATCH) {
      for (let from = 0; from < this.bins; from += TILE) {
        const to = Math.min(this.bins, from + TILE)
        for (let p = 0; p < this.pairs.length; p++) {
          const [i, j] = this.pairs[p]!
          addCrossOfFour(this.#batches[i]!, this.#batches[j]!, this.size + 2, this.#cross[p]!, from, to)
        }
      }
      this.#waiting = 0
    }
  }

  #sumWaiting(): void {
    for (let slot = 0; slot < this.#waiting; slot++) {
      const spectra = this.#slots[slot]!
      for (let p = 0; p < this.pairs.length; p++) {
        const [i, j] = this.pairs[p]!
        addCross(spectra[i]!, spectra[j]!, this.#cross[p]!)
      }
    }
    this.#waiting = 0
  }

  #parts(offset: 0 | 1): readonly Float64Array[] {
    this.#sumWaiting()
    return this.#cross.map(sums => {
      const part = new Float64Array(this.bins)
      for (let k = 0; k < part.length; k++) part[k] = sums[2 * k + offset]!
      return part
    })
  }
}

/** All pairs i < j of `channels` channels, in the order 01, 02, …, 12, …. */
export const allPairs = (channels: number): ChannelPair[] => {
  const pairs: ChannelPair[] = []
  for (let i = 0; i < channels; i++) for (let j = i + 1; j < channels; j++) pairs.push([i, j])
  return pairs
}
