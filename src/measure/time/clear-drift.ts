import { studentLimit } from '../../signal/statistics.js'
import { CLEAR_ERRORS } from './block-line.js'
import type { LagCurve } from './lag-curve.js'

/** Blocks may claim so many times the information of the whole take before their errors are disbelieved. */
const MOST_INFORMATION = 3

/**
 * Whether a drift that was followed (`slope`, frames per second) is clear for the number of blocks, with what `curve` shows to be left of it. All blocks
 * together cannot know the lag much better than the whole take does once it is followed: `boundSamples`, the bound of the whole. Where
 * they say so, single blocks have bands in common by chance, and all errors are taken to be larger by as much.
 */
export const isClearDrift = (slope: number, { blocks, line }: LagCurve, boundSamples: number): boolean => {
  if (line === null) return false
  const information = blocks.reduce((sum, b) => sum + 1 / (b.errorSamples * b.errorSamples), 0)
  const claimed = information * boundSamples * boundSamples
  const error = line.error * Math.sqrt(Math.max(1, claimed / MOST_INFORMATION))
  return Math.abs(slope + line.slope) > studentLimit(CLEAR_ERRORS, blocks.length - 2) * error
}
