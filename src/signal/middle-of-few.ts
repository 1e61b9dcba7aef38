/** Medians of short stretches of numbers, many of them: the same as `median`, without sorting. NaN must not be among them. */
export class MiddleOfFew {
  readonly #work: Float64Array

  /** `most`: the longest stretch. */
  constructor(most: number) {
    this.#work = new Float64Array(most)
  }

  /** Median of `values[from … to - 1]`; NaN for none. RangeError for more than was said. */
  median(values: Float64Array, from: number, to: number): number {
    const count = to - from
    if (count <= 0) return Number.NaN
    const work = this.#work
    work.set(values.subarray(from, to))
    const middle = count >> 1
    this.#select(middle, count)
    const upper = work[middle]!
    if (count % 2 === 1) return upper
    // What is not larger stands before it: the largest of that is its neighbour.
    let lower = work[0]!
    for (let i = 1; i < middle; i++) if (work[i]! > lower) lower = work[i]!
    return (lower + upper) / 2
  }

  /** Brings the value of rank `rank` to its place, smaller ones before it and larger ones behind it (Hoare's selection). */
  #select(rank: number, count: number): void {
    const work = this.#work
    let low = 0
    let high = count - 1
    while (low < high) {
      const pivot = work[(low + high) >> 1]!
      let i = low
      let j = high
      while (i <= j) {
        while (work[i]! < pivot) i++
        while (work[j]! > pivot) j--
        if (i > j) break
        const kept = work[i]!
        work[i++] = work[j]!
        work[j--] = kept
      }
      if (rank <= j) high = j
      else if (rank >= i) low = i
      else return
    }
  }
}
