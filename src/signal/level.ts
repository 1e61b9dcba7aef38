/** Extremes, mean and rms of each channel, as a stream. All 0 before any frame. */
export class LevelMeter {
  readonly #highest: Float64Array
  readonly #lowest: Float64Array
  readonly #sums: Float64Array
  readonly #squares: Float64Array
  #frames = 0

  constructor(channels: number) {
    this.#highest = new Float64Array(channels).fill(Number.NEGATIVE_INFINITY)
    this.#lowest = new Float64Array(channels).fill(Number.POSITIVE_INFINITY)
    this.#sums = new Float64Array(channels)
    this.#squares = new Float64Array(channels)
  }

  get frames(): number {
    return this.#frames
  }

  /** `block`: one array per channel, full scale 1; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let c = 0; c < this.#sums.length; c++) {
      const samples = block[c]!
      let highest = this.#highest[c]!
      let lowest = this.#lowest[c]!
      let sum = 0
      let squares = 0
      for (let i = 0; i < frames; i++) {
        const x = samples[i]!
        if (x > highest) highest = x
        if (x < lowest) lowest = x
        sum += x
        squares += x * x
      }
      this.#highest[c] = highest
      this.#lowest[c] = lowest
      this.#sums[c] = this.#sums[c]! + sum
      this.#squares[c] = this.#squares[c]! + squares
    }
    this.#frames += frames
  }

  /** Largest absolute sample of a channel, 1 = full scale. */
  samplePeak(channel: number): number {
    return Math.max(Math.abs(this.highest(channel)), Math.abs(this.lowest(channel)))
  }

  /** Largest sample of a channel, with sign. */
  highest(channel: number): number {
    return this.#frames === 0 ? 0 : this.#highest[channel]!
  }

  /** Smallest sample of a channel, with sign. */
  lowest(channel: number): number {
    return this.#frames === 0 ? 0 : this.#lowest[channel]!
  }

  /** Mean of a channel's samples: its DC offset, with sign, 1 = full scale. */
  dc(channel: number): number {
    return this.#frames === 0 ? 0 : this.#sums[channel]! / this.#frames
  }

  /** Root mean square of a channel, DC included; a full-scale sine has 0.7071. */
  rms(channel: number): number {
    return this.#frames === 0 ? 0 : Math.sqrt(this.#squares[channel]! / this.#frames)
  }
}
