import type { ToneBins } from '../../tone/predict/tone-bins.js'

/** A run of neighbouring bins of one resolution that stand in the report as one. */
export interface Cell {
  /** Bins of `ToneBins` from `from` up to, not including, `to`. */
  readonly from: number
  readonly to: number
  /** Middle, Hz. */
  readonly frequencyHz: number
}

/** A cell is at most this share of its frequency wide: a fifteenth of what one point of the curve covers to each side. */
const WIDEST_SHARE = 1 / 500
/** And at most this wide, Hz: over ±5 ms the phase then turns by less than a quarter circle from its middle to its edge. */
const WIDEST_HZ = 15
const LOWEST_HZ = 20
const HIGHEST_HZ = 20600

/** All cells of a list of bins, the low end's first, each part ascending. Bins that stand for nothing are left out. */
export const cellsOf = (bins: ToneBins): { readonly cells: readonly Cell[]; readonly lowCells: number } => {
  const low = cellsBetween(bins, 0, bins.low.count)
  const normal = cellsBetween(bins, bins.low.count, bins.frequenciesHz.length)
  return { cells: [...low, ...normal], lowCells: low.length }
}

const cellsBetween = ({ frequenciesHz, widthsHz }: ToneBins, begin: number, end: number): Cell[] => {
  const binHz = frequenciesHz[begin + 1]! - frequenciesHz[begin]!
  const cells: Cell[] = []
  let from = begin
  while (from < end) {
    const hz = frequenciesHz[from]!
    if (hz < LOWEST_HZ || hz > HIGHEST_HZ || widthsHz[from] === 0) {
      from++
      continue
    }
    const count = Math.max(1, Math.floor(Math.min(WIDEST_HZ, hz * WIDEST_SHARE) / binHz))
    let to = Math.min(end, from + count)
    while (widthsHz[to - 1] === 0) to--
    cells.push({ from, to, frequencyHz: (hz + frequenciesHz[to - 1]!) / 2 })
    from = to
  }
  return cells
}

/** Energy in each cell, from a density per bin. */
export const cellSums = (
  density: (bin: number) => number,
  bins: ToneBins,
  cells: readonly Cell[],
): Float64Array =>
  Float64Array.from(cells, ({ from, to }) => {
    let energy = 0
    for (let k = from; k < to; k++) energy += bins.widthsHz[k]! * density(k)
    return energy
  })
