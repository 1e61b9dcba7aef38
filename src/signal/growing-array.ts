/** A list of numbers that grows, kept as doubles without a box for each. */
export class GrowingArray {
  #values = new Float64Array(1024)
  #length = 0

  get length(): number {
    return this.#length
  }

  add(value: number): void {
    if (this.#length === this.#values.length) {
      const larger = new Float64Array(2 * this.#length)
      larger.set(this.#values)
      this.#values = larger
    }
    this.#values[this.#length++] = value
  }

  /** What was added so far; a window on the list's own memory, valid until the next `add`. */
  view(): Float64Array {
    return this.#values.subarray(0, this.#length)
  }
}
