import { addressOf, float64, keepFloat64 } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'
import { largestOf, levelsPlain } from './plain/level.js'

/** Largest absolute value of `samples[start … end - 1]`; 0 for none. */
export const largestIn = (samples: Float64Array, start: number, end: number): number => {
  const at = addressOf(samples)
  const run = at < 0 ? undefined : kernels()?.run
  return run === undefined ? largestOf(samples, start, end) : run.largest(at + 8 * start, end - start)
}

let energySums: Float64Array | null | undefined

/** Sum of the squares of `samples[start … end - 1]`. */
export const energyIn = (samples: Float64Array, start: number, end: number): number => {
  if (energySums === undefined) energySums = keepFloat64(6)
  const sums = energySums?.fill(0) ?? new Float64Array(6)
  const at = addressOf(samples)
  const run = at < 0 || energySums === null ? undefined : kernels()?.run
  if (run === undefined) levelsPlain(samples, start, end, sums)
  else run.levels(at + 8 * start, end - start, sums.byteOffset)
  return sums[1]!
}

/** Largest absolute sample over all channels, as a stream. */
export class PeakMeter {
  #peak = 0

  /** `block`: one array per channel, full scale 1; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (const samples of block) this.#peak = Math.max(this.#peak, largestIn(samples, 0, frames))
  }

  /** 1 = full scale; 0 for silence or before any frame. */
  peak(): number {
    return this.#peak
  }
}

/** Sum and sum of squares of the samples last added. */
export interface StretchSums {
  readonly sum: number
  readonly squares: number
}

/** Extremes, mean and rms of each channel, as a stream. All 0 before any frame. */
export class LevelMeter {
  /** Per channel: sum and sum of squares of all, of the stretch added last, the highest and the lowest sample. */
  readonly #sums: readonly Float64Array[]
  readonly #frames: Float64Array

  constructor(channels: number) {
    this.#frames = new Float64Array(channels)
    this.#sums = Array.from({ length: channels }, () => {
      const sums = float64(6)
      sums[4] = Number.NEGATIVE_INFINITY
      sums[5] = Number.POSITIVE_INFINITY
      return sums
    })
  }

  /** Frames of the first channel so far. */
  get frames(): number {
    return this.#frames[0] ?? 0
  }

  /** `block`: one array per channel, full scale 1; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let c = 0; c < this.#sums.length; c++) this.add(c, block[c]!, 0, frames)
  }

  /** Adds `samples[start … end - 1]` to one channel, and tells their own sums. */
  add(channel: number, samples: Float64Array, start: number, end: number): StretchSums {
    const sums = this.#sums[channel]!
    sums[2] = 0
    sums[3] = 0
    const at = addressOf(samples)
    const sumsAt = addressOf(sums)
    const run = at < 0 || sumsAt < 0 ? undefined : kernels()?.run
    if (run === undefined) levelsPlain(samples, start, end, sums)
    else run.levels(at + 8 * start, end - start, sumsAt)
    this.#frames[channel] = this.#frames[channel]! + end - start
    return { sum: sums[2], squares: sums[3] }
  }

  /** Largest absolute sample of a channel, 1 = full scale. */
  samplePeak(channel: number): number {
    return Math.max(Math.abs(this.highest(channel)), Math.abs(this.lowest(channel)))
  }

  /** Largest sample of a channel, with sign. */
  highest(channel: number): number {
    return this.#frames[channel] === 0 ? 0 : this.#sums[channel]![4]!
  }

  /** Smallest sample of a channel, with sign. */
  lowest(channel: number): number {
    return this.#frames[channel] === 0 ? 0 : this.#sums[channel]![5]!
  }

  /** Mean of a channel's samples: its DC offset, with sign, 1 = full scale. */
  dc(channel: number): number {
    const frames = this.#frames[channel]!
    return frames === 0 ? 0 : this.#sums[channel]![0]! / frames
  }

  /** Root mean square of a channel, DC included; a full-scale sine has 0.7071. */
  rms(channel: number): number {
    const frames = this.#frames[channel]!
    return frames === 0 ? 0 : Math.sqrt(this.#sums[channel]![1]! / frames)
  }
}
