import type { SourceMeasurement, Step } from '../measure/measurement.js'
import type { Align } from '../recipe/session.js'

/** A value that changes along a source's own time, in seconds from its first frame: straight lines between, constant outside. */
export interface Knot {
  readonly atSeconds: number
  readonly samples: number
}

/**
 * Most that a shift may change per second of sound while it follows a step, as a part of 1: a bend of the pitch by 0.3 %, 5.2 cents.
 * About what a trained ear just notices in a held tone (common practice, no source), and it lasts for the slew only.
 */
export const LARGEST_BEND = 0.003

/** What the measuring told of a source's lag over its take. */
export type MeasuredInTime = Pick<
  SourceMeasurement,
  'lagSamples' | 'drift' | 'steps' | 'lagOverTime' | 'frames' | 'startOffsetSamples'
>

/** What is known of the lag of one source over its take. */
export interface LagInTime {
  readonly follow: Align['follow']
  /** The lag that the source is lined up by: `measured.lagSamples`, or what another aim puts in its place. */
  readonly lagSamples: number
  readonly measured: MeasuredInTime
  readonly sampleRateHz: number
  /** Per step of the measurement: the middle of its slew, seconds of the source's own time; where it was measured, if left out. */
  readonly stepSeconds: readonly number[] | null
}

/**
 * The lag over the source's own time, or null where there is nothing to follow: not asked for, or not seen in the take.
 * Another aim than the arrival moves the whole curve by the same amount.
 */
export const lagKnots = (lag: LagInTime): readonly Knot[] | null => {
  const { follow, measured } = lag
  if (follow === 'drift') return driftKnots(lag)
  if (follow === 'steps' && measured.steps !== null && measured.steps.length > 0)
    return stepKnots(lag, measured.steps)
  return null
}

// In the time of the reference the lag is a straight line through the mean of the blocks, weighed by their certainty. A frame of the
// source is heard by its lag later than in the reference, so in the source's own time the line is a little flatter.
const driftKnots = ({ lagSamples, measured, sampleRateHz }: LagInTime): readonly Knot[] | null => {
  if (measured.drift === null) return null
  const slope = measured.drift.ppm * 1e-6
  const middle = middleOf(measured, sampleRateHz)
  const level = middle.lagSamples + lagSamples - (measured.lagSamples ?? lagSamples)
  const centre = middle.atSeconds * sampleRateHz
  const lagAt = (ownFrame: number): number => {
    const referenceFrame = (ownFrame + measured.startOffsetSamples - level + slope * centre) / (1 + slope)
    return level + slope * (referenceFrame - centre)
  }
  return [0, measured.frames].map(frame => ({ atSeconds: frame / sampleRateHz, samples: lagAt(frame) }))
}

// Weighted middle of the blocks, in time and lag. The lag that is told of a drifting source is that at its first sound; with no
// blocks to go by it is taken for the one in the middle of the file.
const middleOf = (
  measured: MeasuredInTime,
  sampleRateHz: number,
): { readonly atSeconds: number; readonly lagSamples: number } => {
  const blocks = measured.lagOverTime ?? []
  const told = measured.lagSamples ?? 0
  if (blocks.length === 0) {
    const atSeconds = (measured.frames / 2 + measured.startOffsetSamples - told) / sampleRateHz
    return { atSeconds, lagSamples: told }
  }
  const weights = blocks.map(block => 1 / (block.uncertaintySamples * block.uncertaintySamples + 1e-12))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const mean = (value: (block: (typeof blocks)[number]) => number): number =>
    blocks.reduce((sum, block, i) => sum + weights[i]! * value(block), 0) / total
  return { atSeconds: mean(block => block.atSeconds), lagSamples: mean(block => block.lagSamples) }
}

// Level, slew around the step, level. Slews that would run into each other share the time between their steps.
const stepKnots = (
  { lagSamples, measured, sampleRateHz, stepSeconds }: LagInTime,
  steps: readonly Step[],
): readonly Knot[] => {
  const offset = lagSamples - (measured.lagSamples ?? lagSamples)
  const times = stepSeconds ?? steps.map(step => stepOwnSeconds(step, measured, sampleRateHz))
  const knots = steps.flatMap((step, i) => {
    const wanted = slewSeconds(step, sampleRateHz) / 2
    const before = Math.min(wanted, (times[i]! - (times[i - 1] ?? -Infinity)) / 2)
    const after = Math.min(wanted, ((times[i + 1] ?? Infinity) - times[i]!) / 2)
    return [
      { atSeconds: times[i]! - before, samples: step.fromLagSamples + offset },
      { atSeconds: times[i]! + after, samples: step.toLagSamples + offset },
    ]
  })
  return knots.filter((knot, i) => i === 0 || knot.atSeconds > knots[i - 1]!.atSeconds)
}

/** Time that a slew takes at the largest bend. */
export const slewSeconds = (step: Step, sampleRateHz: number): number =>
  Math.abs(step.toLagSamples - step.fromLagSamples) / (LARGEST_BEND * sampleRateHz)

/** A step is measured in the time of the reference; the source started later, and its sound comes later. */
export const stepOwnSeconds = (step: Step, measured: MeasuredInTime, sampleRateHz: number): number =>
  step.atSeconds + ((measured.lagSamples ?? 0) - measured.startOffsetSamples) / sampleRateHz

/** Value at a time. `knots` has at least one, in the order of time. */
export const valueAt = (knots: readonly Knot[], atSeconds: number): number => {
  const next = knots.findIndex(knot => knot.atSeconds > atSeconds)
  if (next === 0) return knots[0]!.samples
  if (next === -1) return knots[knots.length - 1]!.samples
  const [a, b] = [knots[next - 1]!, knots[next]!]
  return a.samples + ((b.samples - a.samples) * (atSeconds - a.atSeconds)) / (b.atSeconds - a.atSeconds)
}

/** The sum of two curves, the second taken at `laterSeconds` later in its own time: a curve with the knots of both. */
export const addedKnots = (a: readonly Knot[], b: readonly Knot[], laterSeconds: number): readonly Knot[] => {
  const times = [...a.map(knot => knot.atSeconds), ...b.map(knot => knot.atSeconds - laterSeconds)]
  return [...new Set(times)]
    .sort((x, y) => x - y)
    .map(atSeconds => ({ atSeconds, samples: valueAt(a, atSeconds) + valueAt(b, atSeconds + laterSeconds) }))
}
