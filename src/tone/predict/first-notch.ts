import type { BlendPower } from './blend-power.js'
import { curvePoints, energyAround, hzOfPoint } from './curve.js'
import { lossDb } from './loss.js'
import type { ToneBins } from './tone-bins.js'

/** A loss above this is a notch, where it is a local maximum. */
const NOTCH_DB = 6
/** How far the curve has to fall on both sides of a maximum, so that ripple is none. */
const PROMINENCE_DB = 1
/** Notches are looked for on a curve smoothed over a sixth of an octave each way: wider than the gaps between partials are. */
const REACH = 4
/** The place is then refined on a finer one, in steps of a tenth of a point. */
const FINE_STEPS = 10
/** Places with less sound than this share of the strongest nearby do not say where the notch is: -20 dB. */
const HEARD_SHARE = 0.01
/** Nor do frequencies where next to nothing was played: -40 dB under the strongest. */
const SILENT_SHARE = 1e-4

/** Indices of local maxima that rise and fall by the prominence, ascending. The ends of the curve are none. */
const maxima = (curve: readonly number[]): number[] => {
  const found: number[] = []
  let rising = false
  let lowest = curve[0] ?? 0
  let highest = lowest
  let at = 0
  curve.forEach((value, i) => {
    if (rising) {
      if (value > highest) {
        highest = value
        at = i
      } else if (value <= highest - PROMINENCE_DB) {
        found.push(at)
        rising = false
        lowest = value
      }
    } else if (value < lowest) {
      lowest = value
    } else if (value >= lowest + PROMINENCE_DB) {
      rising = true
      highest = value
      at = i
    }
  })
  return found
}

/** Where the share of power that is left is least, by a parabola through three steps. In points of the curve. */
const refine = (blend: BlendPower, bins: ToneBins, around: number): number => {
  const steps = Array.from(
    { length: 2 * REACH * FINE_STEPS + 1 },
    (_, i) => around + (i - REACH * FINE_STEPS) / FINE_STEPS,
  )
  const inPhase = steps.map(point => energyAround(blend.inPhase, bins, point, 1))
  const left = steps.map((point, i) => energyAround(blend.power, bins, point, 1) / inPhase[i]!)
  const heard = HEARD_SHARE * Math.max(...inPhase)
  let best = -1
  left.forEach((share, i) => {
    if (inPhase[i]! >= heard && (best < 0 || share < left[best]!)) best = i
  })
  if (best < 0) return around
  const before = left[best - 1]
  const after = left[best + 1]
  if (before === undefined || after === undefined) return steps[best]!
  const curvature = before - 2 * left[best]! + after
  const off = curvature > 0 ? (0.5 * (before - after)) / curvature : 0
  return steps[best]! + Math.max(-1, Math.min(1, off)) / FINE_STEPS
}

/**
 * Lowest local maximum of the loss above 6 dB, Hz; null where there is none. A loss that only grows towards the bottom, as when one
 * path is inverted, is no notch. Frequencies that were not played are passed over.
 */
export const firstNotchHz = (blend: BlendPower, bins: ToneBins, sampleRateHz: number): number | null => {
  const { first, count } = curvePoints(sampleRateHz)
  const points = Array.from({ length: count + 2 }, (_, i) => first - 1 + i)
  const energies = points.map(point => ({
    point,
    power: energyAround(blend.power, bins, point, REACH),
    inPhase: energyAround(blend.inPhase, bins, point, REACH),
  }))
  const silent = SILENT_SHARE * Math.max(...energies.map(({ inPhase }) => inPhase))
  const played = energies.filter(({ inPhase }) => inPhase > silent)
  const losses = played.map(({ power, inPhase }) => lossDb(power, inPhase) ?? 0)
  const at = maxima(losses).find(i => losses[i]! > NOTCH_DB)
  return at === undefined ? null : hzOfPoint(refine(blend, bins, played[at]!.point))
}
