import { deliveredLater } from '../blend-tone.js'
import { joinSpectra } from '../predict/cross-spectra.js'
import { toneBins } from '../predict/tone-bins.js'
import { spectralGrid } from '../spectra/resolution.js'
import type { SegmentSums } from '../spectra/sums.js'
import type { View } from '../spectra/view.js'
import type { ToneCheck } from '../tone.js'
import type { BlendInView } from '../view-of-group.js'
import { bandEnergies, bandWeights } from './band-weights.js'
import { movedPower } from './moved-power.js'
import type { MeasuredThirdOctaves } from './third-octaves-of.js'
import { ditherPower, toneCheck } from './tone-check.js'
import { unsmear } from './unsmear.js'

/**
 * Prediction of a stem's third octaves, held against what the filter bank saw. The prediction is the energy of the sum of the parts
 * over the whole timeline, weighted with the bands' own responses, plus the dither.
 */
export const checkBlend = (
  view: View,
  sums: SegmentSums,
  blend: BlendInView,
  measured: MeasuredThirdOctaves,
): ToneCheck => {
  const { stem } = blend
  const rate = view.sampleRateHz
  const grid = spectralGrid(rate)
  const bins = toneBins(grid)
  const sharp = joinSpectra(bins, view.pairs, unsmear(sums.low, grid.low), unsmear(sums.normal, grid.normal))
  const bands = bandWeights(rate)
  const noise = bandEnergies(new Float64Array(bins.frequenciesHz.length).fill(1), bands)
  const dither = noise.map(width => stem.channels * width * ditherPower(stem.depth, stem.dither))
  const predicted = dither.slice()
  for (const parts of blend.channels) {
    const moved = parts.map(placed => ({
      signal: placed.signal,
      gain: placed.part.gain,
      laterSeconds: deliveredLater(placed) / rate,
      filteredSamples:
        placed.placement.follow === null ? placed.part.atSamples - Math.floor(placed.part.atSamples) : 0,
    }))
    bandEnergies(movedPower(moved, sharp, rate), bands).forEach((energy, b) => {
      predicted[b] = predicted[b]! + energy / stem.frames
    })
  }
  return toneCheck(
    bands.map(({ band }) => band.midHz),
    predicted,
    measured.meanSquares,
    dither,
  )
}
