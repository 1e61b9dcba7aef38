import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import { goldenTop } from './arrival-spread.js'
import { octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** A position at which the sum of both traces is full, with what it still loses. */
export interface FullPosition {
  /** Frames, against the sums' own zero. */
  readonly lagSamples: number
  readonly sign: 1 | -1
  /** Mean over the octaves of the level lost against all common sound in phase, dB, 0 or more. */
  readonly lossDb: number
}

/** Octaves this far under the loudest (in the sum of both, at equal level) are not heard with it: 40 dB in power. */
const HEARD = 1e-4

/** The level that a sum loses, as a function of lag and sign; see `lossDb`. */
export class Fullness {
  readonly #bands: { from: number; to: number; own: number; most: number }[]
  readonly #cross: Float64Array
  readonly #fftSize: number

  /**
   * Both traces are brought to equal level first. Per octave: own = energy of both by themselves, most = energy if everything
   * they share were in phase. The loss of an octave at a lag is `10 log10(most / (own + 2 sign Re sum S e^(j w lag)))`.
   */
  constructor(sums: PairSums) {
    this.#fftSize = sums.fftSize
    const bands = octaveBands(sums.sampleRateHz, sums.fftSize)
    const last = bands.length === 0 ? 0 : bands[bands.length - 1]!.to
    const first = power(sums.first, last)
    const second = power(sums.second, last)
    const gain = 1 / Math.sqrt(first * second)
    const found = bands.map(({ from, to }) => {
      let own = 0
      let shared = 0
      for (let k = from; k < to; k++) {
        own += sums.first[k]! / first + sums.second[k]! / second
        shared += portable.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!) * gain
      }
      return { from, to, own, most: own + 2 * shared }
    })
    const loudest = Math.max(...found.map(b => b.own))
    this.#bands = found.filter(b => b.own > HEARD * loudest)
    this.#cross = new Float64Array(sums.cross.length)
    for (let i = 0; i < this.#cross.length; i++) this.#cross[i] = sums.cross[i]! * gain
  }

  /** Mean loss over the octaves that are heard, dB. */
  lossDb(lagSamples: number, sign: 1 | -1): number {
    const sums = this.#bands.map(band => this.#inPhase(band, lagSamples))
    return this.#mean(sums, sign)
  }

  /** Every local best on a half-frame grid of `low … high`, refined to 0.001 frame; least loss first, at most `count`. */
  best(low: number, high: number, count: number): FullPosition[] {
    const curves = this.#curves()
    const from = Math.ceil(2 * low)
    const to = Math.floor(2 * high)
    const positions: FullPosition[] = []
    const inPhase = new Float64Array(curves.length)
    for (const sign of [1, -1] as const) {
      const loss = (i: number): number => {
        const index = i < 0 ? i + 2 * this.#fftSize : i
        for (let c = 0; c < curves.length; c++) inPhase[c] = curves[c]![index]!
        return this.#mean(inPhase, sign)
      }
      let before = Number.POSITIVE_INFINITY
      let here = loss(from)
      for (let i = from; i <= to; i++) {
        const after = i < to ? loss(i + 1) : Number.POSITIVE_INFINITY
        if (here <= before && here < after) positions.push({ lagSamples: i / 2, sign, lossDb: here })
        before = here
        here = after
      }
    }
    positions.sort((a, b) => a.lossDb - b.lossDb)
    return positions
      .slice(0, Math.max(12, 2 * count))
      .map(p => this.#refined(p, low, high))
      .sort((a, b) => a.lossDb - b.lossDb)
      .slice(0, count)
  }

  #refined(p: FullPosition, low: number, high: number): FullPosition {
    const lag = goldenTop(
      x => -this.lossDb(x, p.sign),
      Math.max(low, p.lagSamples - 0.5),
      Math.min(high, p.lagSamples + 0.5),
      1e-3,
    )
    const lossDb = this.lossDb(lag, p.sign)
    return lossDb < p.lossDb ? { lagSamples: lag, sign: p.sign, lossDb } : p
  }

  #mean(inPhase: ArrayLike<number>, sign: 1 | -1): number {
    let sum = 0
    for (let b = 0; b < inPhase.length; b++) {
      const { own, most } = this.#bands[b]!
      sum += 10 * portable.log10(most / Math.max(1e-12 * most, own + 2 * sign * inPhase[b]!))
    }
    return inPhase.length === 0 ? 0 : sum / inPhase.length
  }

  #inPhase(band: { from: number; to: number }, lag: number): number {
    const step = (2 * Math.PI * lag) / this.#fftSize
    let sum = 0
    let re = portable.cos(step * band.from)
    let im = portable.sin(step * band.from)
    const stepRe = portable.cos(step)
    const stepIm = portable.sin(step)
    for (let k = band.from; k < band.to; k++) {
      sum += this.#cross[2 * k]! * re - this.#cross[2 * k + 1]! * im
      const next = re * stepRe - im * stepIm
      im = re * stepIm + im * stepRe
      re = next
    }
    return sum
  }

  // The in-phase part of every octave at all lags in half frames: index 2 * lag, negative ones from the end.
  #curves(): Float64Array[] {
    const fft = new RealFft(2 * this.#fftSize)
    const spectrum = new Float64Array(2 * this.#fftSize + 2)
    return this.#bands.map(band => {
      spectrum.fill(0)
      spectrum.set(this.#cross.subarray(2 * band.from, 2 * band.to), 2 * band.from)
      const curve = new Float64Array(2 * this.#fftSize)
      fft.inverse(spectrum, curve)
      for (let i = 0; i < curve.length; i++) curve[i] = curve[i]! * this.#fftSize
      return curve
    })
  }
}

const power = (spectrum: Float64Array, to: number): number => {
  let sum = 0
  for (let k = 2; k < to; k++) sum += spectrum[k]!
  return sum > 0 ? sum : 1
}
