import * as portable from '../../terms/portable.js'
/**
 * Deeper losses are not told: they are beyond what recordings hold (noise fills every notch) and near the rounding of the sums.
 */
export const DEEPEST_DB = 60

/** 10^(-6): the share of power that is left at the deepest loss. */
const LEAST_SHARE = 1e-6

/**
 * Loss in dB (design §2): 10 log10(in phase / power). 0 = nothing lost, at most `DEEPEST_DB`; null where there is no sound.
 */
export const lossDb = (power: number, inPhase: number): number | null => {
  if (!(inPhase > 0)) return null
  const share = Math.min(1, Math.max(LEAST_SHARE, power / inPhase))
  return share === 1 ? 0 : -10 * portable.log10(share)
}
