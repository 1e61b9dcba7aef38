/** A channel of a linked set that holds what an earlier one holds. */
export interface CopiedChannel {
  readonly channel: number
  /** The earlier one, from 0. */
  readonly of: number
  readonly inverted: boolean
}

/** Two roundings of one value differ by one step at most. */
const STEPS = 1.5

/**
 * Finds, as a stream, channels that are the same as an earlier one of the set to a rounding step, or the same turned over: one
 * track in two channels. `stepSize`: distance of two neighbouring values of the file's coding, full scale 1.
 */
export class CopyDetector {
  readonly #pairs: { readonly channel: number; readonly of: number; same: boolean; turned: boolean }[]
  readonly #apart: number

  constructor(channels: number, stepSize: number) {
    this.#apart = STEPS * stepSize
    this.#pairs = Array.from({ length: channels }, (_, channel) => channel).flatMap(channel =>
      Array.from({ length: channel }, (_, of) => ({ channel, of, same: true, turned: true })),
    )
  }

  push(block: readonly Float64Array[], frames: number): void {
    for (const pair of this.#pairs) {
      if (!pair.same && !pair.turned) continue
      const own = block[pair.channel]!
      const other = block[pair.of]!
      for (let n = 0; n < frames && (pair.same || pair.turned); n++) {
        if (pair.same && Math.abs(own[n]! - other[n]!) > this.#apart) pair.same = false
        if (pair.turned && Math.abs(own[n]! + other[n]!) > this.#apart) pair.turned = false
      }
    }
  }

  /** Per channel its earliest twin. `holdsSound(channel)`: false for channels that are silent; they are alike and no copies. */
  finish(holdsSound: (channel: number) => boolean): readonly CopiedChannel[] {
    const found = this.#pairs.filter(p => (p.same || p.turned) && holdsSound(p.channel))
    return found
      .filter((p, i) => found.findIndex(q => q.channel === p.channel) === i)
      .map(({ channel, of, same }) => ({ channel, of, inverted: !same }))
  }
}
