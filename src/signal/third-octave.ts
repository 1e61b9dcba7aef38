import { BandFilter } from './band-filter.js'
import { Decimator } from './decimate.js'

/** One band of the bank. */
export interface ThirdOctave {
  /** Exact mid-band frequency 1000 * 10^(n/10) Hz; the band called 125 Hz is 125.893. */
  readonly midHz: number
  readonly lowHz: number
  readonly highHz: number
}

// 10^(n/10), without pow: differences between engine versions must not reach a report.
const tenth = (n: number): number => Math.exp((n * Math.LN10) / 10)

/** Highest upper edge as a share of the rate, so that the bilinear transform leaves the band its shape. */
const TOP = 0.47

/** Base-10 third-octave bands of IEC 61260-1 from 25 Hz to 20 kHz as far as the rate reaches (16 kHz at 44.1 kHz). */
export const thirdOctaves = (sampleRateHz: number): ThirdOctave[] => {
  const bands: ThirdOctave[] = []
  for (let n = -16; n <= 13; n++) {
    const band = { midHz: 1000 * tenth(n), lowHz: 1000 * tenth(n - 0.5), highHz: 1000 * tenth(n + 0.5) }
    if (band.highHz < TOP * sampleRateHz) bands.push(band)
  }
  return bands
}

const powerOfTwo = (exponent: number): number => 1 << exponent

// A band runs at the lowest rate, halving by halving, that has its upper edge below this share.
const HALVE_BELOW = 0.2

/**
 * Energy of a signal of one channel in third-octave bands, by recursive band filters: Butterworth band-passes of order 6
 * (after IEC 61260-1), the lower bands on the signal halved in rate again and again. It knows nothing of Fourier transforms.
 */
export class ThirdOctaveMeter {
  readonly bands: readonly ThirdOctave[]
  readonly #rate: number
  readonly #filters: readonly { readonly level: number; readonly filter: BandFilter }[]
  readonly #halvers: readonly Decimator[]
  #blocks: Float64Array[]
  #frames = 0

  constructor(sampleRateHz: number) {
    this.#rate = sampleRateHz
    this.bands = thirdOctaves(sampleRateHz)
    this.#filters = this.bands.map(band => {
      let level = 0
      while (band.highHz < HALVE_BELOW * (sampleRateHz / powerOfTwo(level + 1))) level++
      return { level, filter: new BandFilter(band.lowHz, band.highHz, sampleRateHz / powerOfTwo(level)) }
    })
    const levels = Math.max(0, ...this.#filters.map(f => f.level))
    this.#halvers = Array.from({ length: levels }, () => new Decimator(2))
    this.#blocks = []
  }

  /** The first `frames` of the samples, by default all. */
  push(samples: Float64Array, frames = samples.length): void {
    this.#frames += frames
    this.#feed(samples, frames)
  }

  /** Lets the filters ring out: call once after the last frame. */
  finish(): void {
    this.#feed(new Float64Array(Math.round(2 * this.#rate)), Math.round(2 * this.#rate))
  }

  /** Mean square of each band over the frames pushed, full scale 1; all 0 before any. A full-scale sine in mid-band has 0.5. */
  meanSquares(): Float64Array {
    return Float64Array.from(this.#filters, ({ level, filter }) =>
      this.#frames === 0 ? 0 : (filter.energy * powerOfTwo(level)) / this.#frames,
    )
  }

  /** |H|^2 of a band at a frequency, decimators included: what weights a predicted spectrum to be compared with `meanSquares`. */
  bandPowerResponse(band: number, frequencyHz: number): number {
    const { level, filter } = this.#filters[band]!
    let power = 1
    let rate = this.#rate
    for (let l = 0; l < level; l++) {
      power *= this.#halvers[l]!.powerResponse(frequencyHz / rate)
      rate /= 2
      if (frequencyHz > rate / 2) return 0
    }
    return power * filter.powerResponse(frequencyHz)
  }

  #feed(samples: Float64Array, frames: number): void {
    let block = samples
    let count = frames
    for (let level = 0; ; level++) {
      for (const entry of this.#filters) if (entry.level === level) entry.filter.push(block, count)
      const halver = this.#halvers[level]
      if (halver === undefined) return
      const needed = halver.outputLength(count)
      if ((this.#blocks[level]?.length ?? 0) < needed) this.#blocks[level] = new Float64Array(needed)
      const half = this.#blocks[level]!
      count = halver.push(block, half, count)
      block = half
    }
  }
}
