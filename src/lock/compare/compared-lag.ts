import type { ComparedLag, ComparedPiece } from '../../report/compared/comparison.js'
import * as portable from '../../terms/portable.js'
import { metresFromSamples, msFromSamples } from '../../terms/units.js'
import type { LagBefore, PieceBefore } from '../lock.js'

/** A smaller change is none that anybody would hear or measure with a rule: 0.7 mm of air at 48 kHz. */
const CLEAR_SAMPLES = 0.1

export interface LagFrame {
  /** Lags count from the reference: with another one, or another clock, they do not compare. */
  readonly comparable: boolean
  readonly rateHz: number
  readonly temperatureCelsius: number
}

/** What was measured before and now, of a source or of one piece; at least one of the two is there. */
export const comparedLag = (
  before: LagBefore | undefined,
  now: LagBefore | undefined,
  { comparable, rateHz, temperatureCelsius }: LagFrame,
): ComparedLag => {
  const change =
    comparable && before?.lagSamples != null && now?.lagSamples != null
      ? now.lagSamples - before.lagSamples
      : null
  const uncertain = portable.hypot(before?.lagUncertaintySamples ?? 0, now?.lagUncertaintySamples ?? 0)
  return {
    presence: before === undefined ? 'added' : now === undefined ? 'removed' : 'both',
    lagBeforeSamples: before?.lagSamples ?? null,
    lagNowSamples: now?.lagSamples ?? null,
    lagChangeSamples: change,
    lagChangeMs: change === null ? null : msFromSamples(change, rateHz),
    distanceChangeMetres: change === null ? null : metresFromSamples(change, rateHz, temperatureCelsius),
    clear: change !== null && Math.abs(change) > Math.max(CLEAR_SAMPLES, 2 * uncertain),
    polarityBefore: before?.polarity ?? null,
    polarityNow: now?.polarity ?? null,
    verdictBefore: before?.verdict ?? null,
    verdictNow: now?.verdict ?? null,
  }
}

/** Every piece of either, in the order of their numbers. */
export const comparedPieces = (
  before: readonly PieceBefore[],
  now: readonly PieceBefore[],
  frame: LagFrame,
): readonly ComparedPiece[] => {
  const isSame = (a: PieceBefore) => (b: PieceBefore) =>
    a.piece === b.piece && a.referencePiece === b.referencePiece
  return [...now, ...before.filter(piece => !now.some(isSame(piece)))]
    .sort((a, b) => a.piece - b.piece || (a.referencePiece ?? 0) - (b.referencePiece ?? 0))
    .map(one => ({
      piece: one.piece,
      referencePiece: one.referencePiece,
      ...comparedLag(before.find(isSame(one)), now.find(isSame(one)), frame),
    }))
}
