import { float32, float64 } from '../../signal/kernel/arena.js'
import { meanOff, windowInto } from '../../signal/single-sums.js'
import { hann } from '../../signal/windows.js'
import type { FrameGrid } from './frame-grid.js'

/** Brings frames of samples to the transform: window on, mean taken off. */
export class FrameLoader {
  readonly #window: Float64Array
  /** The window laid out as the frame. */
  readonly #apart: Float32Array
  readonly #sum: number

  /** `frame`: of the `SingleFft` that is used. */
  constructor({ windowLength }: FrameGrid, frame: Float32Array) {
    this.#window = float64(windowLength)
    this.#window.set(hann(windowLength))
    this.#sum = this.#window.reduce((sum, w) => sum + w, 0)
    this.#apart = float32(frame.length)
    this.#window.forEach((w, n) => {
      this.#apart[(n >> 1) + (n & 1) * (frame.length / 2)] = w
    })
  }

  /** `frame`: laid out as that one. Returns the mean square about the mean, under the squared window. */
  load(samples: Float64Array, frame: Float32Array): number {
    const { energy, sum } = windowInto(this.#window, samples, 0, frame)
    const mean = sum / this.#sum
    meanOff(frame, this.#apart, mean)
    // The squared window adds up to 3/8 of its length.
    return Math.max(0, energy / (0.375 * this.#window.length) - mean * mean)
  }
}
