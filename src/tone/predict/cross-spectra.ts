import type { SpectralSums } from '../spectra/sums.js'
import type { ToneBins } from './tone-bins.js'

/** Cross-spectrum of one pair, one value per bin of the list: energy density of what both have in common, with its phase. */
export interface CrossSpectrum {
  readonly real: Float64Array
  readonly imaginary: Float64Array
}

/**
 * Energy densities of a group's signals over the bins of `ToneBins`, as seen at the places where the signals lay when their
 * spectra were taken. `Sij = conj(Xi) Xj`; energy of a signal = 2 sum(auto * width) / rate.
 */
export interface GroupSpectra {
  readonly bins: ToneBins
  readonly auto: readonly Float64Array[]
  readonly pairs: readonly (readonly [number, number])[]
  readonly cross: readonly CrossSpectrum[]
}

/** Takes the bins of the list out of the two resolutions. */
export const joinBins = (bins: ToneBins, low: Float64Array, normal: Float64Array): Float64Array => {
  const joined = new Float64Array(bins.frequenciesHz.length)
  for (let i = 0; i < bins.low.count; i++) joined[i] = low[bins.low.first + i]! * bins.low.scale
  for (let i = 0; i < bins.normal.count; i++) {
    joined[bins.low.count + i] = normal[bins.normal.first + i]! * bins.normal.scale
  }
  return joined
}

/** Both resolutions in one. */
export const joinSpectra = (
  bins: ToneBins,
  pairs: GroupSpectra['pairs'],
  low: Pick<SpectralSums, 'auto' | 'real' | 'imaginary'>,
  normal: Pick<SpectralSums, 'auto' | 'real' | 'imaginary'>,
): GroupSpectra => ({
  bins,
  pairs,
  auto: low.auto.map((sum, i) => joinBins(bins, sum, normal.auto[i]!)),
  cross: pairs.map((_, p) => ({
    real: joinBins(bins, low.real[p]!, normal.real[p]!),
    imaginary: joinBins(bins, low.imaginary[p]!, normal.imaginary[p]!),
  })),
})
