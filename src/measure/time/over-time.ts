import { median, medianAbsoluteDeviation, studentLimit } from '../../signal/statistics.js'
import { clearestPair, type MeasuredTraces } from '../group/measured-traces.js'
import type { SourceMeasurement } from '../measurement.js'
import type { BlockLag } from './block-lag.js'
import { blockLine, CLEAR_ERRORS, clearDrift, wandering } from './block-line.js'
import { STEP_FRAMES, STEP_SCATTERS } from './lag-curve.js'
import { followedShift } from './motion.js'
import { sourceCurve } from './source-curve.js'

/** What is told of a source's lag over the take. */
export type OverTime = Pick<SourceMeasurement, 'drift' | 'steps' | 'swaySamples' | 'lagOverTime'>

export const NOTHING_OVER_TIME: OverTime = { drift: null, steps: null, swaySamples: null, lagOverTime: null }

/** Parts in a million of a slope in frames per second. */
const ppm = (slope: number, sampleRateHz: number): number => (1e6 * slope) / sampleRateHz

/**
 * Lag over the take of one source, told so that it fits `lagSamples` (the source's lag from all pairs): its blocks, drift, steps
 * and sway. Everything null where too few blocks can be compared.
 */
export const overTime = (measured: MeasuredTraces, source: number, lagSamples: number): OverTime => {
  const index = clearestPair(measured.pairs, measured.traces, source)
  if (index === null) return NOTHING_OVER_TIME
  const { estimate, shiftSamples } = measured.pairs[index]!
  const curve = sourceCurve(measured.gathered, index, estimate!.lagSamples)
  if (curve === null) return NOTHING_OVER_TIME
  const motion = measured.motions[source]!
  // Lag of the pair at a time, moved by what all pairs together say against this one.
  const correction = lagSamples - (shiftSamples + estimate!.lagSamples)
  const followed = (seconds: number): number =>
    followedShift(motion, seconds) - motion.anchorSamples + shiftSamples + estimate!.lagSamples + correction
  const rate = measured.task.sampleRateHz
  const blocks = curve.blocks.map(b => ({ ...b, lagSamples: followed(b.atSeconds) + b.lagSamples }))
  const times = standingSteps(
    blocks,
    [...motion.steps, ...curve.steps].map(s => s.atSeconds).sort((a, b) => a - b),
    motion.slope,
  )
  // The scatter of few blocks is hardly known: what is told must be clear for their number.
  const clear = studentLimit(CLEAR_ERRORS, blocks.length - 2)
  const line = times.length > 0 ? null : clearDrift(blocks, blockLine(blocks), clear)
  const levels = levelsBetween(blocks, times, motion.slope)
  const model = (seconds: number): number => {
    if (line !== null) return line.at(seconds)
    const level = levels[times.filter(t => t <= seconds).length]!
    return level + (times.length > 0 ? motion.slope * seconds : 0)
  }
  return {
    drift: line === null ? null : { ppm: ppm(line.slope, rate), uncertaintyPpm: ppm(line.error, rate) },
    steps: times.map(atSeconds => ({
      atSeconds,
      fromLagSamples: model(atSeconds - 1e-6),
      toLagSamples: model(atSeconds),
    })),
    swaySamples: wandering(blocks, model),
    lagOverTime: blocks.map(b => ({
      atSeconds: b.atSeconds,
      lagSamples: b.lagSamples,
      uncertaintySamples: b.errorSamples,
    })),
  }
}

// Times of the steps that stand out of what the blocks wander by in the end; the least of the others is given up first, since what
// is left of its neighbours then shows better.
const standingSteps = (blocks: readonly BlockLag[], found: readonly number[], slope: number): number[] => {
  let times = [...found]
  for (;;) {
    const levels = levelsBetween(blocks, times, slope)
    const sizes = times.map((_, i) => Math.abs(levels[i + 1]! - levels[i]!))
    const least = Math.min(...sizes)
    const left = blocks.map(
      b => b.lagSamples - slope * b.atSeconds - levels[times.filter(t => t <= b.atSeconds).length]!,
    )
    const scatter = 1.4826 * medianAbsoluteDeviation(left)
    if (times.length === 0 || least >= Math.max(STEP_FRAMES, STEP_SCATTERS * scatter)) return times
    times = times.filter((_, i) => i !== sizes.indexOf(least))
  }
}

// Middle of the blocks of every stretch between steps, a drift of `slope` frames per second taken off; a stretch without a block
// stays at the level before it.
const levelsBetween = (blocks: readonly BlockLag[], times: readonly number[], slope: number): number[] => {
  const tilt = times.length > 0 ? slope : 0
  const levels: number[] = []
  for (let i = 0; i <= times.length; i++) {
    const inside = blocks.filter(
      b => b.atSeconds >= (times[i - 1] ?? -Infinity) && b.atSeconds < (times[i] ?? Infinity),
    )
    const chosen = inside.length > 0 ? inside : i === 0 ? blocks : []
    levels.push(
      chosen.length > 0 ? median(chosen.map(b => b.lagSamples - tilt * b.atSeconds)) : levels[i - 1]!,
    )
  }
  return levels
}
