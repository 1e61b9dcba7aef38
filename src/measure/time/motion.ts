import { median, medianAbsoluteDeviation } from '../../signal/statistics.js'
import * as portable from '../../terms/portable.js'
import { exactShift, meanShift, type ShiftSchedule } from '../spectra/schedule.js'
import type { BlockLag, LagStep } from './block-lag.js'
import type { LagCurve } from './lag-curve.js'

/** A lag that changes during the take, as the passes follow it. */
export interface Motion {
  /** Lag as a function of time, frames. */
  readonly schedule: ShiftSchedule
  /** Value of the schedule at which the source's lag is told: at the first sound of a drift, in the longest stretch between
   *  steps, in the middle of a sway. */
  readonly anchorSamples: number
  /** Frames per second. */
  readonly slope: number
  readonly steps: readonly LagStep[]
  /** Slow wandering that the schedule follows, rms frames. */
  readonly swaySamples: number
}

/** Under this the whole take is measured as if nothing moved, frames. */
const FOLLOWED_FRAMES = 0.4
/** A sway is followed from here on, frames rms and errors of a block. */
const SWAY_FRAMES = 0.7
const SWAY_ERRORS = 3
/** … where neighbouring blocks resemble each other: noise does not. */
const SWAY_MEMORY = 0.2
const MOST_COMPARED = 0.8
/** Length of most blocks: 0.85 s at 48 kHz, and shorter ones at the ends of folds. */
const BLOCK_SECONDS = 0.85

/** A still source with its constant shift. */
export const still = (shiftSamples: number): Motion => ({
  schedule: shiftSamples,
  anchorSamples: shiftSamples,
  slope: 0,
  steps: [],
  swaySamples: 0,
})

/** How far the lag goes during a take of so many seconds, frames. */
export const movement = ({ schedule }: Motion, seconds: number): number => {
  if (typeof schedule === 'number') return 0
  const inside = schedule.map(knot => knot.atSeconds).filter(at => at > 0 && at < seconds)
  const lags = [0, ...inside, seconds].map(at => exactShift(schedule, at))
  return Math.max(...lags) - Math.min(...lags)
}

/** What a block at this time was shifted by: the mean over it where a sway is followed, which bends within a block. */
export const followedShift = ({ schedule, swaySamples }: Motion, seconds: number): number =>
  swaySamples > 0 ? meanShift(schedule, seconds, BLOCK_SECONDS) : exactShift(schedule, seconds)

/**
 * Motion that a curve shows on top of the one that was followed when it was measured (`residual` = lag left there); null where
 * following it would change nothing.
 */
export const furtherMotion = (before: Motion, residual: number, curve: LagCurve): Motion | null => {
  const times = curve.blocks.map(b => b.atSeconds)
  const first = times[0]!
  const last = times[times.length - 1]!
  const followed = (seconds: number): number => followedShift(before, seconds) + residual
  const swaying = swayOf(curve)
  if (swaying !== null) {
    const knots = swaying.map(b => ({
      atSeconds: b.atSeconds,
      shiftSamples: followed(b.atSeconds) + b.lagSamples,
    }))
    const moves = swaying.map(b => b.lagSamples)
    const middle = moves.reduce((sum, m) => sum + m, 0) / moves.length
    const square = moves.reduce((sum, m) => sum + (m - middle) * (m - middle), 0) / moves.length
    return {
      ...before,
      schedule: knots,
      anchorSamples: before.anchorSamples + residual + middle,
      swaySamples: portable.hypot(before.swaySamples, Math.sqrt(square)),
    }
  }
  const model =
    before.steps.length > 0 && curve.steps.length === 0 ? betweenSteps(before, curve) : curve.model
  const moves = times.map(t => model(t))
  if (Math.max(...moves) - Math.min(...moves) < FOLLOWED_FRAMES) return null
  const lagAt = (seconds: number): number => followed(seconds) + model(seconds)
  const edges = curve.steps.flatMap(s => [s.atSeconds - 1e-3, s.atSeconds + 1e-3])
  const known = typeof before.schedule === 'number' ? [] : before.schedule.map(k => k.atSeconds)
  const knots = [...new Set([first - 60, ...known, ...edges, last + 60])].sort((a, b) => a - b)
  const steps = [
    ...before.steps,
    ...curve.steps.map(s => ({
      atSeconds: s.atSeconds,
      fromSamples: lagAt(s.atSeconds - 1e-3),
      toSamples: lagAt(s.atSeconds + 1e-3),
    })),
  ].sort((a, b) => a.atSeconds - b.atSeconds)
  return {
    schedule: knots.map(atSeconds => ({ atSeconds, shiftSamples: lagAt(atSeconds) })),
    anchorSamples: lagAt(steps.length > 0 ? longestStretch(steps, first, last) : first),
    slope: before.slope + (curve.steps.length > 0 ? 0 : (curve.drift?.slope ?? 0)),
    steps,
    swaySamples: before.swaySamples,
  }
}

// What is left of every stretch between the steps that are followed already: they were found to whole frames, or roughly.
const betweenSteps = ({ steps }: Motion, { blocks, model }: LagCurve): LagCurve['model'] => {
  const stretchOf = (seconds: number): number => steps.filter(s => s.atSeconds <= seconds).length
  const levels = Array.from({ length: steps.length + 1 }, (_, stretch) => {
    const inside = blocks.filter(b => stretchOf(b.atSeconds) === stretch)
    return inside.length > 0 ? median(inside.map(b => b.lagSamples - model(b.atSeconds))) : 0
  })
  return seconds => model(seconds) + levels[stretchOf(seconds)]!
}

/** Middle of the longest stretch between steps. */
export const longestStretch = (steps: readonly LagStep[], first: number, last: number): number => {
  const edges = [first, ...steps.map(s => s.atSeconds), last]
  let best = (first + last) / 2
  let most = 0
  for (let i = 0; i + 1 < edges.length; i++) {
    if (edges[i + 1]! - edges[i]! > most) {
      most = edges[i + 1]! - edges[i]!
      best = (edges[i]! + edges[i + 1]!) / 2
    }
  }
  return best
}

// The blocks of a sway worth following, wild ones left out; null where the take is still, or steps or a drift explain it.
const swayOf = (curve: LagCurve): BlockLag[] | null => {
  if (curve.steps.length > 0 || curve.compared < MOST_COMPARED) return null
  const left = curve.blocks.map(b => b.lagSamples - curve.model(b.atSeconds))
  const usual = median(curve.blocks.map(b => b.errorSamples))
  if (curve.swaySamples < Math.max(SWAY_FRAMES, SWAY_ERRORS * usual) || memoryOf(left) < SWAY_MEMORY)
    return null
  const wide = 4 * 1.4826 * medianAbsoluteDeviation(left)
  const middle = median(left)
  return curve.blocks.filter((_, i) => Math.abs(left[i]! - middle) <= wide)
}

// Correlation of neighbouring values about their middle.
const memoryOf = (values: readonly number[]): number => {
  const middle = median(values)
  let product = 0
  let square = 0
  for (let i = 1; i < values.length; i++) product += (values[i]! - middle) * (values[i - 1]! - middle)
  for (const v of values) square += (v - middle) * (v - middle)
  return square > 0 ? product / square : 0
}
