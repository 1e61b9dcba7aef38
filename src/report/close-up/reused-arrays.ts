import { float64 } from '../../signal/kernel/arena.js'

/**
 * Arrays that are used again and again while a close-up is made: of many sources everything that is looked at would else lie about, tens of
 * megabytes, until it is collected.
 */
export class ReusedArrays {
  readonly #arrays = new Map<string, Float64Array>()

  /** The array of that name in this length; what it held for whoever asked before is overwritten. */
  of(name: string, length: number): Float64Array {
    const known = this.#arrays.get(name)
    if (known !== undefined && known.length >= length) return known.subarray(0, length)
    const made = float64(length)
    this.#arrays.set(name, made)
    return made
  }
}
