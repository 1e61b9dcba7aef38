import { deliveredLater } from '../blend-tone.js'
import { type GroupSpectra, joinSpectra } from '../predict/cross-spectra.js'
import { toneBins } from '../predict/tone-bins.js'
import { spectralGrid } from '../spectra/resolution.js'
import type { SegmentSums } from '../spectra/sums.js'
import type { View } from '../spectra/view.js'
import type { ToneCheck } from '../tone.js'
import type { BlendInView, PartInView } from '../view-of-group.js'
import { bandEnergies, bandWeights } from './band-weights.js'
import { type MovedPart, movedPower } from './moved-power.js'
import type { MeasuredThirdOctaves } from './third-octaves-of.js'
import { ditherPower, toneCheck } from './tone-check.js'
import { unsmear } from './unsmear.js'

/** Spectra without the blur of their windows: what band energies are predicted from. */
export const sharpSpectra = ({ sampleRateHz, pairs }: View, sums: SegmentSums): GroupSpectra => {
  const grid = spectralGrid(sampleRateHz)
  return joinSpectra(toneBins(grid), pairs, unsmear(sums.low, grid.low), unsmear(sums.normal, grid.normal))
}

/**
 * Prediction of a stem's third octaves, held against what the filter bank saw. The prediction is the energy of the sum of the parts
 * over the whole timeline, weighted with the bands' own responses, plus the dither. `sharp`: spectra of the view that the blend is in.
 */
export const checkBlend = (
  blend: BlendInView,
  sharp: GroupSpectra,
  measured: MeasuredThirdOctaves,
): ToneCheck => {
  const { stem } = blend
  const rate = stem.sampleRateHz
  const bands = bandWeights(rate)
  const dither = bandEnergies(new Float64Array(sharp.bins.frequenciesHz.length).fill(1), bands).map(
    width => stem.channels * width * ditherPower(stem.depth, stem.dither),
  )
  const predicted = dither.slice()
  for (const parts of blend.channels) {
    bandEnergies(movedPower(parts.map(movedPart), sharp, rate), bands).forEach((energy, b) => {
      predicted[b] = predicted[b]! + energy / stem.frames
    })
  }
  return toneCheck(
    bands.map(({ band }) => band.midHz),
    predicted,
    measured.meanSquares,
    dither,
  )

  function movedPart(placed: PartInView): MovedPart {
    const { atSamples, gain } = placed.part
    return {
      signal: placed.signal,
      gain,
      laterSeconds: deliveredLater(placed) / rate,
      filteredSamples: placed.placement.follow === null ? atSamples - Math.floor(atSamples) : 0,
    }
  }
}
