import * as portable from '../../terms/portable.js'
import type { PairSums } from './pair-sums.js'

/** Octave bands by their middle, 31.25 Hz … 16 kHz, as bins `[from, to)` of a transform; bands beyond half the rate are cut. */
export interface OctaveBand {
  readonly middleHz: number
  readonly from: number
  readonly to: number
}

const MIDDLES_HZ = [31.25, 62.5, 125, 250, 500, 1000, 2000, 4000, 8000, 16000] as const

/** The octaves about 31.25 Hz to 16 kHz as bins of a transform, from (included) to (excluded); those without a bin are left out. */
export const octaveBands = (sampleRateHz: number, fftSize: number): OctaveBand[] =>
  MIDDLES_HZ.map(middleHz => ({
    middleHz,
    from: Math.max(2, Math.round((middleHz * Math.SQRT1_2 * fftSize) / sampleRateHz)),
    to: Math.min(fftSize / 2, Math.round((middleHz * Math.SQRT2 * fftSize) / sampleRateHz)),
  })).filter(band => band.to > band.from)

/** What a band holds, in the units of the sums. */
export interface BandEnergies {
  /** Energy of the first trace, and of the second. */
  readonly first: number
  readonly second: number
  /** Common energy: sum of the sizes of the cross-spectrum, at most `sqrt(first * second)`. */
  readonly common: number
}

/** Energies of the bins `[from, to)`. */
export const bandEnergies = (sums: PairSums, { from, to }: Pick<OctaveBand, 'from' | 'to'>): BandEnergies => {
  let first = 0
  let second = 0
  let common = 0
  for (let k = from; k < to; k++) {
    first += sums.first[k]!
    second += sums.second[k]!
    common += portable.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!)
  }
  return { first, second, common }
}

/** The bands whose common energy is at least `share` of that of the band that has most; none where nothing is common. */
export const loudBands = <Band extends Pick<OctaveBand, 'from' | 'to'>>(
  sums: PairSums,
  bands: readonly Band[],
  share: number,
): Band[] => {
  const common = bands.map(band => bandEnergies(sums, band).common)
  const most = Math.max(0, ...common)
  return bands.filter((_, b) => most > 0 && common[b]! >= share * most)
}
