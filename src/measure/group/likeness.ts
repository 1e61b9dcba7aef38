import type { Trace } from '../spectra/segment-spectra.js'
import { type GatheredSpectra, pairOf } from './gather.js'

/** How much two sources share, from what both share with the reference. */
export const likenessOf = (
  coarse: GatheredSpectra,
  traces: readonly Trace[],
): ((i: number, j: number) => number) => {
  const level = (source: number): number => {
    let sum = 0
    coarse.plan.pairs.forEach(([, second], p) => {
      if (traces[second]!.source !== source) return
      const { sums } = pairOf(coarse, p)
      for (let k = 8; k < sums.first.length; k++) {
        const product = sums.first[k]! * sums.second[k]!
        const re = sums.cross[2 * k]!
        const im = sums.cross[2 * k + 1]!
        if (product > 0) sum += (re * re + im * im) / product
      }
    })
    return sum
  }
  const known = new Map<number, number>()
  const of = (source: number): number => {
    const found = known.get(source) ?? level(source)
    known.set(source, found)
    return found
  }
  return (i, j) => of(i) * of(j)
}
