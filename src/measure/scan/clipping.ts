import { firstEqual } from '../../signal/find-samples.js'

/** A flat stretch at an extreme of one channel. */
export interface ClippedRun {
  readonly channel: number
  readonly startFrame: number
  readonly frames: number
  /** The value held, full scale 1, with sign. */
  readonly level: number
}

// Common practice, no source: three equal frames at the extreme are a clipped top, two may be chance.
const SHORTEST_RUN = 3
const FULL_SCALE = 0.999
// The top of a slow, clean wave can also hold one value for three frames. Rounding then leaves at most five steps to the frame
// beside (a parabola that stays within one step for three frames); a clipped wave arrives faster.
const FLANK_STEPS = 6
/** Below full scale one flat top may be chance or a square-shaped sound's; from so many on they are told. */
const FEWEST_FLAT_TOPS = 3
const LISTED = 20
// After so many frames that differ from their neighbours the next one that does not is looked for in one go.
const CALM = 16

interface Extreme {
  level: number
  runs: number
  first: ClippedRun[]
}

/**
 * Finds clipped tops of one channel as a stream: three or more frames held at full scale, or, below it (clipped earlier in the
 * chain, turned down since), at least three such runs at the very level that is the channel's highest or lowest.
 */
export class ClipDetector {
  readonly #channel: number
  readonly #flank: number
  #value = Number.NaN
  #before = Number.NaN
  #run = 0
  #frame = 0
  #fullRuns = 0
  readonly #full: ClippedRun[] = []
  readonly #top: Extreme = { level: 0, runs: 0, first: [] }
  readonly #bottom: Extreme = { level: 0, runs: 0, first: [] }

  /** `stepSize`: distance of two neighbouring values of the file's format, full scale 1. */
  constructor(channel: number, stepSize: number) {
    this.#channel = channel
    this.#flank = FLANK_STEPS * stepSize
  }

  push(samples: Float64Array, start: number, end: number): void {
    let value = this.#value
    let run = this.#run
    let before = this.#before
    let calm = 0
    for (let i = start; i < end; i++) {
      if (calm >= CALM) {
        calm = 0
        const next = firstEqual(samples, i, end)
        if (next > i) {
          before = samples[next - 2]!
          value = samples[next - 1]!
          if (next === end) break
          i = next
        }
      }
      const x = samples[i]!
      if (x === value) {
        run++
        calm = 0
        continue
      }
      calm++
      if (run >= SHORTEST_RUN) {
        this.#before = before
        this.#endRun(value, run, this.#frame + i - start, x)
      }
      before = value
      value = x
      run = 1
    }
    this.#value = value
    this.#run = run
    this.#before = before
    this.#frame += end - start
  }

  /** Call once after the last frame. `highest` and `lowest`: the channel's extremes. */
  finish(highest: number, lowest: number): { readonly runs: number; readonly first: readonly ClippedRun[] } {
    if (this.#run >= SHORTEST_RUN) this.#endRun(this.#value, this.#run, this.#frame, this.#value)
    const flat = [
      ...(this.#top.level === highest && this.#top.runs >= FEWEST_FLAT_TOPS ? [this.#top] : []),
      ...(this.#bottom.level === lowest && this.#bottom.runs >= FEWEST_FLAT_TOPS ? [this.#bottom] : []),
    ]
    const first = [...this.#full, ...flat.flatMap(extreme => extreme.first)]
    first.sort((a, b) => a.startFrame - b.startFrame)
    return {
      runs: this.#fullRuns + flat.reduce((sum, extreme) => sum + extreme.runs, 0),
      first: first.slice(0, LISTED),
    }
  }

  #endRun(level: number, frames: number, endFrame: number, after: number): void {
    const into = Math.abs(level - this.#before)
    const outOf = Math.abs(level - after)
    // NaN at the start of the file: nothing is known of that flank.
    if (!(into > this.#flank) && !(outOf > this.#flank)) return
    const found = { channel: this.#channel, startFrame: endFrame - frames, frames, level }
    if (Math.abs(level) >= FULL_SCALE) {
      this.#fullRuns++
      if (this.#full.length < LISTED) this.#full.push(found)
    } else if (level > 0) addRun(this.#top, found, level > this.#top.level)
    else if (level < 0) addRun(this.#bottom, found, level < this.#bottom.level)
  }
}

const addRun = (extreme: Extreme, found: ClippedRun, further: boolean): void => {
  if (further) {
    extreme.level = found.level
    extreme.runs = 0
    extreme.first = []
  }
  if (found.level !== extreme.level) return
  extreme.runs++
  if (extreme.first.length < LISTED) extreme.first.push(found)
}
