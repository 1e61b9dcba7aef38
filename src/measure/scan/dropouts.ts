import { firstZero } from '../../signal/find-samples.js'
import { largestIn } from '../../signal/level.js'

/** A place where a recorder or computer lost samples, as far as the sound gives it away. */
export interface Dropout {
  readonly channel: number
  readonly startFrame: number
  readonly frames: number
  /** `zeros`: silence to the last bit inside music. `repeat`: a block that is an exact copy of the one before. */
  readonly kind: 'zeros' | 'repeat'
}

/** How much of the past and of what comes next the detector looks at, frames. */
export const DROPOUT_PAST = 6400
const AHEAD = 2112

const SHORTEST_ZEROS = 16
const LONGEST_ZEROS = 4096
// The sound right before and right after must be at least this large (-50 dBFS): gates and edits fade or cut in quiet places.
const LOUD = 0.003
// A low note in a coarse coding rests at zero as it crosses it, and the samples beside are then few steps large: 32 frames from a
// rest of 16 they have moved by about two.
const STEPS = 8
const BESIDE = 32
// Sizes of blocks that audio systems hand on.
const BLOCKS = [32, 64, 128, 256, 512, 1024, 2048] as const
const STRIDE = 16
// A copy ends where the block ends, give or take frames that agree by chance; a sound of that period goes on agreeing.
const CHANCE = 4
const LISTED = 50
// After so many frames that are not 0 the next one is looked for in one go.
const CALM = 16

/**
 * Finds stretches of zeros and repeated blocks in one channel, as a stream. A thing is looked at once what follows it is known, so
 * the last 2112 frames are not judged.
 */
export class DropoutDetector {
  readonly #channel: number
  readonly #loud: number
  readonly #resume = new Float64Array(BLOCKS.length)
  #zeros = 0
  #count = 0
  readonly #first: Dropout[] = []

  /** `stepSize`: distance of two neighbouring values of the file's coding, full scale 1. */
  constructor(channel: number, stepSize = 0) {
    this.#channel = channel
    this.#loud = Math.max(LOUD, STEPS * stepSize)
  }

  get count(): number {
    return this.#count
  }

  get first(): readonly Dropout[] {
    return this.#first
  }

  /**
   * `work`: the block from index DROPOUT_PAST on, and before it the frames that came before (zeros at the start of the file).
   * `firstFrame`: the file's frame at the start of the block.
   */
  push(work: Float64Array, frames: number, firstFrame: number): void {
    const start = DROPOUT_PAST - AHEAD
    const offset = firstFrame - DROPOUT_PAST
    this.#findZeros(work, start, start + frames, offset)
    // Places divisible by the stride in the file's own frames, wherever blocks begin.
    const aligned = start + ((STRIDE - ((start + offset) % STRIDE)) % STRIDE)
    for (let i = aligned; i < start + frames; i += STRIDE) {
      if (i + offset >= STRIDE && work[i] !== 0 && work[i] !== work[i - 1]) this.#findRepeat(work, i, offset)
    }
  }

  #findZeros(work: Float64Array, start: number, end: number, offset: number): void {
    let zeros = this.#zeros
    let calm = 0
    for (let i = start; i < end; i++) {
      if (calm >= CALM) {
        calm = 0
        i = firstZero(work, i, end)
        if (i === end) break
      }
      if (work[i] === 0) {
        zeros++
        calm = 0
        continue
      }
      calm++
      if (zeros === 0) continue
      if (zeros >= SHORTEST_ZEROS && zeros <= LONGEST_ZEROS) this.#judgeZeros(work, i, zeros, offset)
      zeros = 0
    }
    this.#zeros = zeros
  }

  #judgeZeros(work: Float64Array, end: number, zeros: number, offset: number): void {
    const start = end - zeros
    if (start + offset <= 0) return
    const beside = Math.min(largestIn(work, start - BESIDE, start), largestIn(work, end, end + BESIDE))
    if (beside < this.#loud) return
    this.#add(start + offset, zeros, 'zeros')
  }

  #findRepeat(work: Float64Array, at: number, offset: number): void {
    for (let b = 0; b < BLOCKS.length; b++) {
      const block = BLOCKS[b]!
      if (work[at] !== work[at - block] || work[at - 1] !== work[at - 1 - block]) continue
      if (at + offset < this.#resume[b]!) continue
      const limit = block + CHANCE + 1
      let start = at
      while (at - start < limit && work[start - 1] === work[start - 1 - block]) start--
      let end = at
      while (end - start < limit && work[end] === work[end - block]) end++
      this.#resume[b] = Math.max(end, at + STRIDE) + offset
      if (end - start < block || end - start > block + CHANCE) continue
      if (start + offset < block || !isSound(work, start, end, this.#loud)) continue
      this.#add(start + offset, end - start, 'repeat')
      return
    }
  }

  #add(startFrame: number, frames: number, kind: Dropout['kind']): void {
    this.#count++
    if (this.#first.length < LISTED) this.#first.push({ channel: this.#channel, startFrame, frames, kind })
  }
}

/** Loud enough, and moving: a held value repeats itself too. */
const isSound = (samples: Float64Array, start: number, end: number, loud: number): boolean => {
  let moves = 0
  for (let i = start + 1; i < end; i++) if (samples[i] !== samples[i - 1]) moves++
  return 2 * moves > end - start && largestIn(samples, start, end) >= loud
}
