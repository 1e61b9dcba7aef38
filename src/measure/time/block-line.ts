import { median, medianAbsoluteDeviation, weightedLeastSquares } from '../../signal/statistics.js'
import type { BlockLag } from './block-lag.js'

/** Straight line through the lags of blocks: how two clocks drift apart. */
export interface BlockLine {
  /** Frames per second, with its standard error. */
  readonly slope: number
  readonly error: number
  readonly at: (seconds: number) => number
}

/** Under so many standard errors a slope is none. */
export const CLEAR_ERRORS = 3
const MAD_TO_DEVIATION = 1.4826
const LEAST_SIDE = 2
/** Two levels have one number more to choose, and fit a line's noise a little better for that alone. */
const CLEARLY = 0.93

/** Weighted by the blocks' errors, wild blocks held back (Huber's weights at three scatters); null where the times are all one. */
export const blockLine = (blocks: readonly BlockLag[]): BlockLine | null => {
  const middle = blocks.reduce((s, b) => s + b.atSeconds, 0) / blocks.length
  const own = blocks.map(b => 1 / (b.errorSamples * b.errorSamples + 1e-6))
  let weights = own
  let line: BlockLine | null = null
  for (let round = 0; round < 4; round++) {
    const solved = weightedLeastSquares(
      blocks.map(b => [1, b.atSeconds - middle]),
      blocks.map(b => b.lagSamples),
      weights,
    )
    if (solved === null) return null
    const offset = solved.solution[0]!
    const slope = solved.solution[1]!
    const at = (seconds: number): number => offset + slope * (seconds - middle)
    const scatter = Math.max(1, solved.residual / Math.max(1, blocks.length - 2))
    const left = blocks.map(b => b.lagSamples - at(b.atSeconds))
    line = { slope, error: Math.sqrt(solved.covariance[1]![1]! * scatter * memory(left)), at }
    const wide = 3 * MAD_TO_DEVIATION * Math.max(1e-3, medianAbsoluteDeviation(left))
    weights = own.map((w, i) => (Math.abs(left[i]!) > wide ? w * (wide / Math.abs(left[i]!)) : w))
  }
  return line
}

/**
 * The line where it is a drift: clear of level by so many errors, and better than two levels, which is what a change of register
 * through a path with group delay of its own leaves over. Else null.
 */
export const clearDrift = (
  blocks: readonly BlockLag[],
  line: BlockLine | null,
  errors = CLEAR_ERRORS,
): BlockLine | null =>
  line !== null && Math.abs(line.slope) > errors * line.error && !twoLevelsFitBetter(blocks, line)
    ? line
    : null

// By sums of distances, which wild blocks do not rule, in units of the blocks' errors and of what scatters beyond them.
const twoLevelsFitBetter = (blocks: readonly BlockLag[], line: BlockLine): boolean => {
  const left = blocks.map(b => Math.abs(b.lagSamples - line.at(b.atSeconds)))
  const usual = median(left)
  const weights = blocks.map(b => 1 / (b.errorSamples + usual + 1e-6))
  const byLine = left.reduce((sum, l, i) => sum + weights[i]! * l, 0)
  for (let cut = LEAST_SIDE; cut <= blocks.length - LEAST_SIDE; cut++) {
    const levels = [blocks.slice(0, cut), blocks.slice(cut)].map(side => median(side.map(b => b.lagSamples)))
    let byLevels = 0
    blocks.forEach((b, i) => {
      byLevels += weights[i]! * Math.abs(b.lagSamples - levels[i < cut ? 0 : 1]!)
    })
    if (byLevels < CLEARLY * byLine) return true
  }
  return false
}

// Neighbouring residuals that resemble each other (sway) carry less news: (1 + r) / (1 - r) for a lag-one correlation r.
const memory = (left: readonly number[]): number => {
  let product = 0
  let square = 0
  for (let i = 1; i < left.length; i++) product += left[i]! * left[i - 1]!
  for (const l of left) square += l * l
  const r = square > 0 ? Math.max(0, Math.min(0.9, product / square)) : 0
  return (1 + r) / (1 - r)
}

/** What blocks wander about a model beyond their errors, rms frames; wild blocks count three scatters at most. */
export const wandering = (blocks: readonly BlockLag[], model: (seconds: number) => number): number => {
  const left = blocks.map(b => b.lagSamples - model(b.atSeconds))
  const widest = 3 * MAD_TO_DEVIATION * median(left.map(Math.abs))
  const squares = blocks.map((b, i) => {
    const most = Math.max(widest, b.errorSamples)
    return Math.min(left[i]! * left[i]!, most * most) - b.errorSamples * b.errorSamples
  })
  return Math.sqrt(Math.max(0, squares.reduce((sum, s) => sum + s, 0) / blocks.length))
}
