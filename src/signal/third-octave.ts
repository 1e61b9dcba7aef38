import * as portable from '../terms/portable.js'
import { BandPair } from './band-filter.js'
import { Decimator } from './decimate.js'
import { float64 } from './kernel/arena.js'

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

/** Silence is fed in pieces of so many frames. */
const SILENT_FRAMES = 8192

/** One or two bands that run at one rate. */
interface RunningPair {
  readonly halvings: number
  readonly filter: BandPair
}

/** Where a band runs. */
interface RunningBand extends RunningPair {
  readonly lane: 0 | 1
}

/**
 * Energy of one channel in third-octave bands, as a stream, by recursive filters: Butterworth band-passes of order 4, within the limits of
 * IEC 61260-1 class 1, the lower ones on the signal halved in rate again and again. It knows nothing of Fourier transforms, so
 * that it can check what was predicted from them. Block sizes do not matter.
 */
export class ThirdOctaveMeter {
  readonly bands: readonly ThirdOctave[]
  readonly #rate: number
  readonly #running: readonly RunningBand[]
  readonly #pairs: readonly RunningPair[]
  readonly #halvers: readonly Decimator[]
  readonly #blocks: Float64Array[] = []
  #frames = 0
  /** The frequency that was asked for last, after each number of halvings, and what is left of its power. */
  #halvedHz = Number.NaN
  readonly #powers: Float64Array
  readonly #frequencies: Float64Array

  constructor(sampleRateHz: number) {
    this.#rate = sampleRateHz
    this.bands = thirdOctaves(sampleRateHz)
    const halvings = this.bands.map(({ highHz }) => {
      let count = 0
      for (let rate = sampleRateHz; highHz < HALVE_BELOW * (rate / 2); rate /= 2) count++
      return count
    })
    const pairs: RunningPair[] = []
    this.#running = this.bands.map((band, b) => {
      const h = halvings[b]!
      const place = halvings.slice(0, b).filter(other => other === h).length
      const next = halvings[b + 1] === h ? this.bands[b + 1] : undefined
      if (place % 2 === 0) {
        pairs.push({ halvings: h, filter: new BandPair([band, next], sampleRateHz / (1 << h)) })
      }
      return { ...pairs.at(-1)!, lane: place % 2 === 0 ? 0 : 1 }
    })
    this.#pairs = pairs
    const levels = Math.max(0, ...halvings)
    this.#halvers = Array.from({ length: levels }, () => new Decimator(2, { attenuationDb: 90 }))
    this.#powers = new Float64Array(levels + 1)
    this.#frequencies = new Float64Array(levels + 1)
  }

  /** The first `frames` of the samples, by default all. */
  push(samples: Float64Array, frames = samples.length): void {
    // The halving filters ring before a sound as well as after it: silence first, lest a sound at the very start lose that.
    if (this.#frames === 0) this.#silence(1)
    this.#frames += frames
    this.#feed(samples, frames)
  }

  /** Lets the filters ring out; call once, after the last frame. Without it a short sound's lowest bands come out too low. */
  finish(): void {
    this.#silence(2)
  }

  /** Mean square of each band over the frames pushed, full scale 1; all 0 before any. A full-scale sine in mid-band has 0.5. */
  meanSquares(): Float64Array {
    return Float64Array.from(this.#running, ({ halvings, filter, lane }) =>
      this.#frames === 0 ? 0 : (filter.energy(lane) * (1 << halvings)) / this.#frames,
    )
  }

  /**
   * Power that band number `band` passes of a sound at `frequencyHz`, 0 … half the rate: what to weight a predicted spectrum
   * with, to be compared with `meanSquares`. Halving is included, with what little folds down in it. Quick where all bands are asked at one
   * frequency before the next.
   */
  bandPowerResponse(band: number, frequencyHz: number): number {
    const { halvings, filter, lane } = this.#running[band]!
    if (frequencyHz !== this.#halvedHz) this.#halve(frequencyHz)
    return this.#powers[halvings]! * filter.powerResponse(lane, this.#frequencies[halvings]!)
  }

  /** What is left of a sound after each halving, and at which frequency: the same for all bands. */
  #halve(frequencyHz: number): void {
    let power = 1
    let frequency = frequencyHz
    let rate = this.#rate
    for (let h = 0; h <= this.#halvers.length; h++) {
      this.#powers[h] = power
      this.#frequencies[h] = frequency
      if (h === this.#halvers.length) break
      power *= this.#halvers[h]!.powerResponse(frequency / rate)
      rate /= 2
      if (frequency > rate / 2) frequency = rate - frequency
    }
    this.#halvedHz = frequencyHz
  }

  #silence(seconds: number): void {
    const frames = Math.round(seconds * this.#rate)
    const none = float64(Math.min(frames, SILENT_FRAMES))
    for (let done = 0; done < frames; done += none.length)
      this.#feed(none, Math.min(none.length, frames - done))
  }

  #feed(samples: Float64Array, frames: number): void {
    let block = samples
    let count = frames
    for (let halvings = 0; ; halvings++) {
      for (const pair of this.#pairs) if (pair.halvings === halvings) pair.filter.push(block, count)
      const halver = this.#halvers[halvings]
      if (halver === undefined) return
      const needed = halver.outputLength(count)
      if ((this.#blocks[halvings]?.length ?? 0) < needed) this.#blocks[halvings] = float64(needed)
      const half = this.#blocks[halvings]!
      count = halver.push(block, half, count)
      block = half
    }
  }
}
