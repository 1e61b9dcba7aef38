import * as portable from '../../terms/portable.js'
import type { Candidate } from '../measurement.js'
import { Fullness } from '../pair/fullness.js'
import { pairOf } from './gather.js'
import type { MeasuredPair, MeasuredTraces } from './measured-traces.js'

/** Farther apart than this part of the window, a turn of the phases says nothing of where the sound was. */
const REACH = 0.48

/** Amplitude that is left of all common sound in phase, 0 … 1, after a loss in dB. */
export const scoreOfLoss = (lossDb: number): number => portable.exp((-lossDb * Math.LN10) / 20)

/**
 * The lag that the recipe keeps, with the polarity that sums fuller there, as a candidate like the others: the cross-spectra are
 * turned to it, which is exact, since the whole frames that were read ahead are known. Where both sum alike, it is `normal`.
 *
 * @returns null where no lag is kept, or where it lies too far from the sound that was measured.
 */
export const keptPosition = (
  measured: MeasuredTraces,
  pair: MeasuredPair,
  keptSamples: number | null,
): Candidate | null => {
  if (keptSamples === null) return null
  const lag = keptSamples - pair.shiftSamples
  if (Math.abs(lag) > REACH * measured.gathered.plan.grid.fftSize) return null
  const fullness = new Fullness(pairOf(measured.gathered, measured.pairs.indexOf(pair)).sums)
  const [upright, turned] = [fullness.lossDb(lag, 1), fullness.lossDb(lag, -1)]
  return {
    aim: 'fullness',
    lagSamples: keptSamples,
    polarity: turned < upright ? 'inverted' : 'normal',
    score: scoreOfLoss(Math.min(upright, turned)),
  }
}
