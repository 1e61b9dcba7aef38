import { GrowingArray } from '../../signal/growing-array.js'
import { LevelMeter } from '../../signal/level.js'
import { median } from '../../signal/statistics.js'
import * as portable from '../../terms/portable.js'

/** Level over time: where something is played. */
export interface Activity {
  /** Frames in a step; the last step may be shorter. About 50 ms. */
  readonly stepFrames: number
  /** Rms over all channels of each step, dBFS; -200 for digital silence and below. */
  readonly levelsDbfs: Float32Array
}

export const LOWEST_DBFS = -200

/** Makes the level curve of a source as a stream. Block sizes do not change it. */
export class ActivityMeter {
  readonly stepFrames: number
  /** What the whole comes to. */
  readonly level: LevelMeter
  readonly #levels = new GrowingArray()
  readonly #means: readonly GrowingArray[]
  readonly #sums: Float64Array
  #energy = 0
  #frames = 0

  constructor(sampleRateHz: number, channels: number) {
    this.stepFrames = Math.max(1, Math.round(sampleRateHz / 20))
    this.level = new LevelMeter(channels)
    this.#means = Array.from({ length: channels }, () => new GrowingArray())
    this.#sums = new Float64Array(channels)
  }

  /** `block`: one array per channel; `frames` of each from the first on. */
  push(block: readonly Float64Array[], frames: number): void {
    for (let start = 0; start < frames; ) {
      const end = Math.min(frames, start + this.stepFrames - this.#frames)
      for (let c = 0; c < this.#sums.length; c++) {
        const { sum, squares } = this.level.add(c, block[c]!, start, end)
        this.#energy += squares
        this.#sums[c] = this.#sums[c]! + sum
      }
      this.#frames += end - start
      start = end
      if (this.#frames === this.stepFrames) this.#closeStep()
    }
  }

  /** The curve; the step that was begun is closed. */
  finish(): Activity {
    if (this.#frames > 0) this.#closeStep()
    return { stepFrames: this.stepFrames, levelsDbfs: Float32Array.from(this.#levels.view()) }
  }

  /** The middle one of a channel's means of each step, full scale 1, with sign; 0 before any step. */
  medianMean(channel: number): number {
    const means = this.#means[channel]!.view()
    return means.length === 0 ? 0 : median(means)
  }

  #closeStep(): void {
    const power = this.#energy / (this.#frames * this.#sums.length)
    this.#levels.add(Math.max(LOWEST_DBFS, 10 * portable.log10(power)))
    this.#sums.forEach((sum, c) => {
      this.#means[c]!.add(sum / this.#frames)
    })
    this.#sums.fill(0)
    this.#energy = 0
    this.#frames = 0
  }
}

/** Level that a share 0 … 1 of the steps stay at or under, digital silence left out; null where there is nothing else. */
export const levelAtShare = (activity: Activity, share: number): number | null => {
  const heard = activity.levelsDbfs.filter(level => level > LOWEST_DBFS).sort()
  if (heard.length === 0) return null
  return heard[Math.min(heard.length - 1, Math.floor(share * heard.length))]!
}
