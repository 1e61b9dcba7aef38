import * as portable from '../terms/portable.js'
import { BandFilter, bandPassPower } from './band-filter.js'
import { Decimator } from './decimate.js'

/** One band of the bank. */
export interface ThirdOctave {
  /** Exact mid-band frequency 1000 * 10^(n/10) Hz: the band called 125 Hz is 125.893. */
  readonly midHz: number
  readonly lowHz: number
  readonly highHz: number
}

// 10^(n/10), without pow.
const tenths = (n: number): number => portable.exp((n * Math.LN10) / 10)

// Bands whose upper edge lies higher than this share of the rate are left out: the transform would bend them too much.
const TOP = 0.47

/** Base-10 third-octave bands of IEC 61260-1, 25 Hz to 20 kHz as far as the rate reaches (16 kHz at 44.1, 12.5 at 32 kHz). */
export const thirdOctaves = (sampleRateHz: number): readonly ThirdOctave[] => {
  const bands: ThirdOctave[] = []
  for (let n = -16; n <= 13; n++) {
    const band = { midHz: 1000 * tenths(n), lowHz: 1000 * tenths(n - 0.5), highHz: 1000 * tenths(n + 0.5) }
    if (band.highHz < TOP * sampleRateHz) bands.push(band)
  }
  return bands
}

// A band runs at the lowest rate, halving by halving, that has its upper edge below this share: inside what halving keeps.
const HALVE_BELOW = 0.38

interface RunningBand {
  readonly halvings: number
  readonly filter: BandFilter
}

/**
 * Energy of one channel in third-octave bands, as a stream, by recursive filters: Butterworth band-passes within the limits of
 * IEC 61260-1 class 1, the lower ones on the signal halved in rate again and again. It knows nothing of Fourier transforms, so
 * that it can check what was predicted from them. Block sizes do not matter.
 */
export class ThirdOctaveMeter {
  readonly bands: readonly ThirdOctave[]
  readonly #rate: number
  readonly #running: readonly RunningBand[]
  readonly #halvers: readonly Decimator[]
  readonly #blocks: Float64Array[] = []
  #frames = 0

  constructor(sampleRateHz: number) {
    this.#rate = sampleRateHz
    this.bands = thirdOctaves(sampleRateHz)
    this.#running = this.bands.map(band => {
      let halvings = 0
      let rate = sampleRateHz
      for (; band.highHz < HALVE_BELOW * (rate / 2); rate /= 2) halvings++
      return { halvings, filter: new BandFilter(band.lowHz, band.highHz, rate, orderOf(band, rate)) }
    })
    const levels = Math.max(0, ...this.#running.map(band => band.halvings))
    this.#halvers = Array.from({ length: levels }, () => new Decimator(2, { attenuationDb: 90 }))
    // The halving filters ring before a sound as well as after it: silence first, lest a sound at the very start lose that.
    this.#silence(1)
  }

  /** The first `frames` of the samples, by default all. */
  push(samples: Float64Array, frames = samples.length): void {
    this.#frames += frames
    this.#feed(samples, frames)
  }

  /** Lets the filters ring out; call once, after the last frame. Without it a short sound's lowest bands come out too low. */
  finish(): void {
    this.#silence(2)
  }

  /** Mean square of each band over the frames pushed, full scale 1; all 0 before any. A full-scale sine in mid-band has 0.5. */
  meanSquares(): Float64Array {
    return Float64Array.from(this.#running, ({ halvings, filter }) =>
      this.#frames === 0 ? 0 : (filter.energy * (1 << halvings)) / this.#frames,
    )
  }

  /**
   * Power that band number `band` passes of a sound at `frequencyHz`, 0 … half the rate: what to weight a predicted spectrum
   * with, to be compared with `meanSquares`. Halving is included, with what little folds down in it.
   */
  bandPowerResponse(band: number, frequencyHz: number): number {
    const { halvings, filter } = this.#running[band]!
    let power = 1
    let frequency = frequencyHz
    let rate = this.#rate
    for (let h = 0; h < halvings; h++) {
      power *= this.#halvers[h]!.powerResponse(frequency / rate)
      rate /= 2
      if (frequency > rate / 2) frequency = rate - frequency
    }
    return power * filter.powerResponse(frequency)
  }

  #silence(seconds: number): void {
    const frames = Math.round(seconds * this.#rate)
    this.#feed(new Float64Array(frames), frames)
  }

  #feed(samples: Float64Array, frames: number): void {
    let block = samples
    let count = frames
    for (let halvings = 0; ; halvings++) {
      for (const band of this.#running) if (band.halvings === halvings) band.filter.push(block, count)
      const halver = this.#halvers[halvings]
      if (halver === undefined) return
      const needed = halver.outputLength(count)
      if ((this.#blocks[halvings]?.length ?? 0) < needed) this.#blocks[halvings] = new Float64Array(needed)
      const half = this.#blocks[halvings]!
      count = halver.push(block, half, count)
      block = half
    }
  }
}

// Least attenuation below and above a band for class 1, dB, at mid-band times or through these factors (IEC 61260-1).
const CLASS_1_SKIRT = [
  [1.29437, 16.6],
  [1.88173, 40.5],
  [3.05365, 60],
  [5.39195, 70],
] as const

/** Order that keeps class 1 on the lower side, where the bilinear transform makes a band near half the rate less steep. */
const orderOf = ({ midHz, lowHz, highHz }: ThirdOctave, rate: number): number => {
  const holds = (order: number): boolean =>
    CLASS_1_SKIRT.every(
      ([factor, attenuationDb]) =>
        -10 * portable.log10(bandPassPower(midHz / factor, lowHz, highHz, rate, order)) >= attenuationDb,
    )
  let order = 3
  while (!holds(order)) order++
  return order
}
