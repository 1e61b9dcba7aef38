import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'

/** Places in which J is summed one by one; of more a transform is quicker. */
const FEW = 8

/**
 * The function whose peak is the lag: `J(lag) = sum over bins of Re{ P_k e^(j 2 pi k lag / fftSize) }` for a weighted
 * cross-spectrum P (interleaved). Continuous: any lag, with its first two derivatives.
 */
export class LagObjective {
  readonly #re: Float64Array
  readonly #im: Float64Array
  readonly #bins: Int32Array
  readonly #fftSize: number

  /** Bins whose weight is 0 are left out from the start. */
  constructor(weighted: Float64Array, fftSize: number) {
    const most = weighted.length >> 1
    const bins = new Int32Array(most)
    const re = new Float64Array(most)
    const im = new Float64Array(most)
    let used = 0
    for (let k = 1; k < most; k++) {
      if (weighted[2 * k] === 0 && weighted[2 * k + 1] === 0) continue
      bins[used] = k
      re[used] = weighted[2 * k]!
      im[used] = weighted[2 * k + 1]!
      used++
    }
    this.#bins = bins.subarray(0, used)
    this.#re = re.subarray(0, used)
    this.#im = im.subarray(0, used)
    this.#fftSize = fftSize
  }

  at(lag: number): { value: number; slope: number; curvature: number } {
    const step = (2 * Math.PI * lag) / this.#fftSize
    const unit = (2 * Math.PI) / this.#fftSize
    const stepRe = portable.cos(step)
    const stepIm = portable.sin(step)
    let value = 0
    let slope = 0
    let curvature = 0
    let re = 1
    let im = 0
    let at = Number.NEGATIVE_INFINITY
    const bins = this.#bins
    for (let i = 0; i < bins.length; i++) {
      const k = bins[i]!
      if (k === at + 1 && (k & 127) !== 0) {
        const next = re * stepRe - im * stepIm
        im = re * stepIm + im * stepRe
        re = next
      } else {
        re = portable.cos(step * k)
        im = portable.sin(step * k)
      }
      at = k
      const omega = unit * k
      const real = this.#re[i]! * re - this.#im[i]! * im
      const imaginary = this.#re[i]! * im + this.#im[i]! * re
      value += real
      slope -= omega * imaginary
      curvature -= omega * omega * real
    }
    return { value, slope, curvature }
  }

  /**
   * Where `sign * J` is largest between `low` and `high` if it has one top there: Newton steps on the slope, kept inside a
   * bracket that is halved whenever a step would leave it (plain Newton diverges from half a frame on).
   */
  top(low: number, high: number, sign: 1 | -1): number {
    let lag = (low + high) / 2
    let from = low
    let to = high
    for (let step = 0; step < 60 && to - from > 1e-10; step++) {
      const { slope, curvature } = this.at(lag)
      if (sign * slope > 0) from = lag
      else to = lag
      const next = sign * curvature < 0 ? lag - slope / curvature : Number.NaN
      const inside = next > from && next < to
      if (inside && Math.abs(next - lag) < 1e-9) return next
      lag = inside ? next : (from + to) / 2
    }
    return lag
  }

  /**
   * The highest top within `reach` of `near`, exactly: looked for at every half frame or closer, then by `top`. Up to a few places one by one; more of
   * them by one transform.
   */
  nearTop(near: number, reach: number, sign: 1 | -1): number {
    const places = Math.ceil(2 * reach)
    const values = places > FEW ? this.#halfFrames() : null
    const step = values === null ? reach / places : 0.5
    const start = values === null ? near : Math.round(2 * near) / 2
    let best = start
    let most = Number.NEGATIVE_INFINITY
    for (let i = -places; i <= places; i++) {
      const lag = start + i * step
      const value =
        sign * (values === null ? this.at(lag).value : values[(2 * lag + values.length) % values.length]!)
      if (value > most) {
        most = value
        best = lag
      }
    }
    return this.top(best - step, best + step, sign)
  }

  // J at every half frame, those before 0 from the end back; scaled.
  #halfFrames(): Float64Array {
    const fft = new RealFft(2 * this.#fftSize)
    const spectrum = new Float64Array(fft.size + 2)
    this.#bins.forEach((k, i) => {
      spectrum[2 * k] = this.#re[i]!
      spectrum[2 * k + 1] = this.#im[i]!
    })
    const values = new Float64Array(fft.size)
    fft.inverse(spectrum, values)
    return values
  }
}
