import type { Depth } from '../../recipe/session.js'
import * as portable from '../../terms/portable.js'
import type { ToneCheck } from '../tone.js'

/** Bands within this of the loudest are judged. */
const JUDGED_DB = 40
/** Nor bands of which dither makes more than this share: its level over one file is a throw of dice, a tenth of a dB and more. */
const DITHER_SHARE = 0.1
/** Stands for silence where only one of the two is silent, so that the difference is told and large. -200 dB. */
const FLOOR = 1e-20

const wordBits = (depth: Depth): number | null => (depth === '32f' ? null : depth)

/**
 * Mean square of what triangular dither and its rounding add to each channel of a stem: a quarter of a step squared, white (design §6;
 * check value: TPDF total q^2 / 4). 0 for float or without dither.
 */
export const ditherPower = (depth: Depth, dither: boolean): number => {
  const bits = wordBits(depth)
  if (!dither || bits === null) return 0
  const step = portable.exp((1 - bits) * Math.LN2)
  return (step * step) / 4
}

/**
 * Prediction against measurement, band by band. Both are mean squares of a whole stem, channels added, full scale 1; told in dB with a
 * full-scale square wave at 0. `differenceDb`: measured minus predicted. `dither`: what of the prediction is dither.
 */
export const toneCheck = (
  midHz: readonly number[],
  predicted: ArrayLike<number>,
  measured: ArrayLike<number>,
  dither: ArrayLike<number>,
): ToneCheck => {
  const db = (power: number): number => 10 * portable.log10(Math.max(FLOOR, power))
  const bands = midHz.map((centreHz, i) => {
    const isSilent = !(predicted[i]! > 0) && !(measured[i]! > 0)
    const isDither = dither[i]! > DITHER_SHARE * predicted[i]!
    return { centreHz, isSilent, isDither, predictedDb: db(predicted[i]!), measuredDb: db(measured[i]!) }
  })
  const loudest = Math.max(
    ...bands.filter(band => !band.isSilent).map(band => Math.max(band.predictedDb, band.measuredDb)),
  )
  const thirdOctaves = bands.map(({ centreHz, isSilent, isDither, predictedDb, measuredDb }) =>
    isSilent
      ? { centreHz, predictedDb: null, measuredDb: null, differenceDb: null, judged: false }
      : {
          centreHz,
          predictedDb,
          measuredDb,
          differenceDb: measuredDb - predictedDb,
          judged: !isDither && Math.max(predictedDb, measuredDb) >= loudest - JUDGED_DB,
        },
  )
  const judged = thirdOctaves.filter(band => band.judged)
  return {
    thirdOctaves,
    worstDifferenceDb:
      judged.length === 0 ? null : Math.max(...judged.map(band => Math.abs(band.differenceDb ?? 0))),
    bandsJudged: judged.length,
  }
}
