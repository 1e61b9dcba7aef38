import { type ThirdOctave, ThirdOctaveMeter } from '../../signal/third-octave.js'
import { type ToneBins, toneBins } from '../predict/tone-bins.js'
import { spectralGrid } from '../spectra/resolution.js'

/** Beyond this factor from its middle a band passes less than -90 dB. */
const REACH = 8

/** Shape of a band over a list of bins, as weights of the density: its energy is the sum of weight * density. */
export interface BandWeights {
  readonly band: ThirdOctave
  /** One weight per bin: |H|^2 * width * 2 / rate; 0 far from the band. */
  readonly weights: Float64Array
}

const known = new Map<number, readonly BandWeights[]>()

/** All bands of the filter bank at a rate, each with the bank's own response, decimators included. Worked out once per rate. */
export const bandWeights = (sampleRateHz: number): readonly BandWeights[] => {
  let bands = known.get(sampleRateHz)
  if (bands === undefined) {
    bands = weightsAt(toneBins(spectralGrid(sampleRateHz)), sampleRateHz)
    known.set(sampleRateHz, bands)
  }
  return bands
}

const weightsAt = (bins: ToneBins, sampleRateHz: number): BandWeights[] => {
  const meter = new ThirdOctaveMeter(sampleRateHz)
  const found = meter.bands.map(band => ({ band, weights: new Float64Array(bins.frequenciesHz.length) }))
  bins.frequenciesHz.forEach((hz, k) => {
    const width = bins.widthsHz[k]!
    if (width === 0) return
    found.forEach(({ band, weights }, index) => {
      if (hz < band.midHz / REACH || hz > band.midHz * REACH) return
      weights[k] = (meter.bandPowerResponse(index, hz) * width * 2) / sampleRateHz
    })
  })
  return found
}

/** Energy of each band of a density. */
export const bandEnergies = (density: Float64Array, bands: readonly BandWeights[]): number[] =>
  bands.map(({ weights }) => {
    let energy = 0
    for (let k = 0; k < density.length; k++) energy += weights[k]! * density[k]!
    return energy
  })
