import * as portable from '../../terms/portable.js'
import { clearestPair, type MeasuredTraces } from '../group/measured-traces.js'
import type { SourceMeasurement } from '../measurement.js'
import { exactShift } from '../spectra/schedule.js'
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
    exactShift(motion.schedule, seconds) -
    motion.anchorSamples +
    shiftSamples +
    estimate!.lagSamples +
    correction
  const rate = measured.task.sampleRateHz
  const slope = motion.slope + (curve.line?.slope ?? 0)
  const error = curve.line?.error ?? Number.POSITIVE_INFINITY
  const steps = [
    ...motion.steps.map(s => ({
      atSeconds: s.atSeconds,
      from: followed(s.atSeconds - 2e-3),
      to: followed(s.atSeconds + 2e-3),
    })),
    ...curve.steps.map(s => ({
      atSeconds: s.atSeconds,
      from: followed(s.atSeconds) + s.fromSamples,
      to: followed(s.atSeconds) + s.toSamples,
    })),
  ].sort((a, b) => a.atSeconds - b.atSeconds)
  return {
    drift:
      steps.length === 0 && Math.abs(slope) > 3 * error
        ? { ppm: ppm(slope, rate), uncertaintyPpm: ppm(error, rate) }
        : null,
    steps: steps.map(s => ({ atSeconds: s.atSeconds, fromLagSamples: s.from, toLagSamples: s.to })),
    swaySamples: portable.hypot(motion.swaySamples, curve.swaySamples),
    lagOverTime: curve.blocks.map(b => ({
      atSeconds: b.atSeconds,
      lagSamples: followed(b.atSeconds) + b.lagSamples,
      uncertaintySamples: b.errorSamples,
    })),
  }
}
