import { createHash } from 'node:crypto'

/**
 * Small fast counting generator: three words of state and a counter, published as sfc32 in the PractRand test suite, period at
 * least 2^32, about 2^127 on average. Seeded by a text: the same text gives the same numbers everywhere.
 */
export class SeededRandom {
  readonly #state: Int32Array

  constructor(seed: string) {
    const digest = createHash('sha256').update(seed, 'utf8').digest()
    this.#state = Int32Array.of(digest.readInt32LE(0), digest.readInt32LE(4), digest.readInt32LE(8), 1)
    for (let i = 0; i < 16; i++) this.nextInt32()
  }

  /** The next 32 bits, as a signed integer. */
  nextInt32(): number {
    const state = this.#state
    const a = state[0]!
    const b = state[1]!
    const c = state[2]!
    const counter = state[3]!
    const result = (((a + b) | 0) + counter) | 0
    state[3] = counter + 1
    state[0] = b ^ (b >>> 9)
    state[1] = (c + (c << 3)) | 0
    state[2] = (((c << 21) | (c >>> 11)) + result) | 0
    return result
  }

  /** Uniform in [0, 1), in steps of 2^-32. */
  next(): number {
    return (this.nextInt32() >>> 0) / 4294967296
  }

  /** The four words of state, to go on from in a loop of one's own; write them back with `resume`. */
  get state(): Int32Array {
    return this.#state
  }
}

/** Numbers in [0, 1) that depend on the text alone. */
export const seededRandom = (seed: string): (() => number) => {
  const random = new SeededRandom(seed)
  return () => random.next()
}
