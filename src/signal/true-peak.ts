import { kaiserAt, sinc } from './windows.js'

const HALF_TAPS = 12
const TAPS = 2 * HALF_TAPS
const BETA = 7
// Outputs that are looked at together; a group whose input cannot reach the peak so far is passed over.
const GROUP = 64
const CHUNK = 64 * GROUP

/**
 * True peak after ITU-R BS.1770, annex 2: the largest absolute value of the signal between its samples, found by
 * interpolating `factor` times as many points. Our own filter: windowed sinc, 24 taps for each point.
 *
 * 4 times reads at most 0.47 dB low for a sine of 20 kHz at 48 kHz, 8 times 0.12 dB (20 log10 cos(pi f / (factor fs))).
 * Before the first and after the last frame the signal is taken as silence. The result does not depend on block sizes.
 */
export class TruePeakMeter {
  readonly #phases: readonly Float64Array[]
  // No interpolated value exceeds the largest sample around it times this.
  readonly #bound: number
  readonly #history: Float64Array[]
  readonly #work = new Float64Array(CHUNK + TAPS)
  #peak = 0

  /**
   * `factor`: points per frame at 44.1 and 48 kHz, 4 or 8. Half as many at double rates, never fewer than 2: what counts is how
   * closely the signal is looked at in time.
   */
  constructor(sampleRateHz: number, channels: number, factor = 4) {
    const points = Math.max(
      2,
      sampleRateHz >= 176400 ? factor / 4 : sampleRateHz >= 88200 ? factor / 2 : factor,
    )
    this.#phases = Array.from({ length: points - 1 }, (_, p) => phaseTaps((p + 1) / points))
    const sums = this.#phases.map(taps => taps.reduce((sum, tap) => sum + Math.abs(tap), 0))
    this.#bound = Math.max(1, ...sums) * (1 + 1e-12)
    this.#history = Array.from({ length: channels }, () => new Float64Array(TAPS - 1))
  }

  /** `block`: one array per channel; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let c = 0; c < this.#history.length; c++) {
      const samples = block[c]!
      const history = this.#history[c]!
      for (let start = 0; start < frames; start += CHUNK) {
        const count = Math.min(CHUNK, frames - start)
        this.#work.set(history, 0)
        this.#work.set(samples.subarray(start, start + count), TAPS - 1)
        this.#search(count)
        history.set(this.#work.subarray(count, count + TAPS - 1))
      }
    }
  }

  /** Largest absolute value over all channels so far, 1 = full scale; 0 for silence or before any frame. */
  peak(): number {
    for (const history of this.#history) {
      this.#work.fill(0)
      this.#work.set(history, 0)
      this.#search(HALF_TAPS)
    }
    return this.#peak
  }

  #search(count: number): void {
    const work = this.#work
    for (let start = 0; start < count; start += GROUP) {
      const end = Math.min(count, start + GROUP)
      let largest = 0
      for (let i = start; i < end + TAPS - 1; i++) largest = Math.max(largest, Math.abs(work[i]!))
      if (largest > this.#peak) {
        // the sample itself, the point between two others
        this.#peak = Math.max(this.#peak, largestOf(work, start + HALF_TAPS - 1, end + HALF_TAPS - 1))
      }
      if (largest * this.#bound <= this.#peak) continue
      for (const taps of this.#phases)
        this.#peak = Math.max(this.#peak, largestFiltered(taps, work, start, end))
    }
  }
}

const phaseTaps = (fraction: number): Float64Array =>
  Float64Array.from({ length: TAPS }, (_, i) => {
    const position = i - (HALF_TAPS - 1) - fraction
    return sinc(position) * kaiserAt(position / HALF_TAPS, BETA)
  })

const largestOf = (samples: Float64Array, start: number, end: number): number => {
  let largest = 0
  for (let i = start; i < end; i++) largest = Math.max(largest, Math.abs(samples[i]!))
  return largest
}

const largestFiltered = (taps: Float64Array, samples: Float64Array, start: number, end: number): number => {
  let largest = 0
  let i = start
  for (; i + 4 <= end; i += 4) {
    let sum0 = 0
    let sum1 = 0
    let sum2 = 0
    let sum3 = 0
    let x0 = samples[i]!
    let x1 = samples[i + 1]!
    let x2 = samples[i + 2]!
    for (let k = 0; k < TAPS; k++) {
      const tap = taps[k]!
      const x3 = samples[i + k + 3]!
      sum0 += tap * x0
      sum1 += tap * x1
      sum2 += tap * x2
      sum3 += tap * x3
      x0 = x1
      x1 = x2
      x2 = x3
    }
    largest = Math.max(largest, Math.abs(sum0), Math.abs(sum1), Math.abs(sum2), Math.abs(sum3))
  }
  for (; i < end; i++) {
    let sum = 0
    for (let k = 0; k < TAPS; k++) sum += taps[k]! * samples[i + k]!
    largest = Math.max(largest, Math.abs(sum))
  }
  return largest
}
