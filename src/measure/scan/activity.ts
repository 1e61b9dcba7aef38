import { GrowingArray } from '../../signal/growing-array.js'

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
  readonly #levels = new GrowingArray()
  readonly #channels: number
  #energy = 0
  #frames = 0

  constructor(sampleRateHz: number, channels: number) {
    this.stepFrames = Math.max(1, Math.round(sampleRateHz / 20))
    this.#channels = channels
  }

  /** `block`: one array per channel; `frames` of each from the first on. */
  push(block: readonly Float64Array[], frames: number): void {
    for (let start = 0; start < frames; ) {
      const end = Math.min(frames, start + this.stepFrames - this.#frames)
      for (let c = 0; c < this.#channels; c++) this.#energy += energyOf(block[c]!, start, end)
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

  #closeStep(): void {
    const power = this.#energy / (this.#frames * this.#channels)
    this.#levels.add(Math.max(LOWEST_DBFS, 10 * Math.log10(power)))
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

const energyOf = (samples: Float64Array, start: number, end: number): number => {
  let energy = 0
  for (let i = start; i < end; i++) {
    const x = samples[i]!
    energy += x * x
  }
  return energy
}
