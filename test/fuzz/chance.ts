/** Numbers from a seed: the same seed gives the same choices on every machine. */
export interface Chance {
  /** A whole number in [0, limit). */
  readonly below: (limit: number) => number
  readonly pick: <Value>(list: readonly Value[]) => Value
  /** True once in so many times. */
  readonly once: (times: number) => boolean
}

/** A well-mixed 32-bit word of two (constants of the finaliser of MurmurHash3, public domain, from memory). */
const mixed = (a: number, b: number): number => {
  let word = (Math.imul(a, 0x9e3779b1) ^ b) >>> 0
  word = Math.imul(word ^ (word >>> 16), 0x85ebca6b)
  word = Math.imul(word ^ (word >>> 13), 0xc2b2ae35)
  return (word ^ (word >>> 16)) >>> 0
}

/** Choices for the input of one number in one run: any input can be made again by itself. (xorshift32; Marsaglia, "Xorshift RNGs", 2003.) */
export const chanceOf = (seed: number, index: number): Chance => {
  let state = mixed(seed, index) | 1
  const next = (): number => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return state >>> 0
  }
  const below = (limit: number): number => next() % Math.max(1, limit)
  return { below, pick: list => list[below(list.length)]!, once: times => below(times) === 0 }
}
