import { interrupted } from '../../terms/interrupted.js'
import type { Task, TaskContext } from '../../terms/task.js'
import { dbFromGain, gainFromDb, msFromSamples } from '../../terms/units.js'
import { HOP_SECONDS, type Instant, levelsOf, loudestAttack, onsetFrame } from './attack.js'
import type { CloseUp, CloseUpTrace, CloseUpView } from './close-up.js'
import { ReusedArrays } from './reused-arrays.js'
import { stretchesOf } from './stretches.js'
import { type TracedSource, TraceReader } from './traced-source.js'

export interface CloseUpInput {
  readonly group: string
  readonly sampleRateHz: number
  /** The reference stands first. */
  readonly traces: readonly TracedSource[]
  /** Frames of the timeline in which to look for an attack. */
  readonly ranges: readonly { readonly startFrame: number; readonly endFrame: number }[]
}

/** What is seen before the attack, and at least after it; more where a source is later than that, up to the limit. Ms. */
const BEFORE_MS = 4
const AFTER_MS = 16
const AFTER_LATEST_MS = 8
const AFTER_LIMIT_MS = 60

/** More points than this are not told apart on a wide chart. */
const MOST_POINTS = 1200
/** Of the attacks elsewhere in the song: a tenth of a millisecond at 20 ms is enough to see which is late and which way round. */
const FEWER_POINTS = 240
/** Values in steps of one in so many of full scale: in the view that is shown first, and elsewhere. */
const FINE_STEPS = 1e5
const COARSE_STEPS = 1e4
/** An attack further under the loudest of the song is none, dB. */
const FAINT_DB = 36

const peakOf = (signal: Float64Array): number => signal.reduce((peak, v) => Math.max(peak, Math.abs(v)), 0)

interface Attacks {
  /** Frame of the timeline at which an attack begins in the reference that is loud in all sources; null where all is silent (or clipped). */
  readonly best: number | null
  /** One from each stretch that has one, in the order of time. */
  readonly all: readonly number[]
}

const attacksIn = (
  input: CloseUpInput,
  readers: readonly TraceReader[],
  arrays: ReusedArrays,
  context: TaskContext,
  avoidClipped: boolean,
): Attacks => {
  const hop = Math.max(1, Math.round(HOP_SECONDS * input.sampleRateHz))
  const stretches = stretchesOf(input.ranges, input.sampleRateHz)
  // Two hops more at the start of each stretch: a rise is seen against what came before.
  const lead = 2 * hop
  const levels = stretches.map(({ startFrame, frames }) => {
    if (context.aborted) throw interrupted()
    return readers.map(reader =>
      levelsOf(
        reader.recorded(
          startFrame - lead + Math.round(reader.traced.lagSamples),
          arrays.of('stretch', frames + lead),
        ),
        hop,
        avoidClipped,
      ),
    )
  })
  const frameOf = ({ stretch, hop: at }: Instant): number => {
    const start = stretches[stretch]!.startFrame - lead + (at - 2) * hop
    return start + onsetFrame(readers[0]!.recorded(start, arrays.of('onset', 4 * hop)), hop)
  }
  const loudestOf = (curves: readonly Float64Array[]): number =>
    curves[0]!.reduce((top, level) => (level === Number.POSITIVE_INFINITY ? top : Math.max(top, level)), -200)
  const loudest = Math.max(...levels.map(loudestOf))
  const instant = loudestAttack(levels)
  const all = levels.flatMap((curves, stretch) => {
    const own = loudestOf(curves) < loudest - FAINT_DB ? null : loudestAttack([curves])
    return own === null ? [] : [frameOf({ stretch, hop: own.hop })]
  })
  return { best: instant === null ? null : frameOf(instant), all }
}

/** Every `stride`-th value, in steps of one in so many of full scale. */
const thinned = (signal: Float64Array, gain: number, stride: number, steps: number): number[] => {
  const values: number[] = []
  for (let i = 0; i < signal.length; i += stride) values.push(Math.round(signal[i]! * gain * steps) / steps)
  return values
}

/** `gainsDb`: those of another view, so that a group is drawn alike everywhere; null chooses them here. */
const draw = (
  input: CloseUpInput,
  readers: readonly TraceReader[],
  arrays: ReusedArrays,
  attack: number,
  { points, gainsDb }: { readonly points: number; readonly gainsDb: readonly number[] | null },
): CloseUpView => {
  const rate = input.sampleRateHz
  const latestMs = Math.max(...input.traces.map(trace => msFromSamples(trace.lagSamples, rate)))
  const afterMs = Math.min(AFTER_LIMIT_MS, Math.max(AFTER_MS, latestMs + AFTER_LATEST_MS))
  const lead = Math.round((BEFORE_MS / 1000) * rate)
  const frames = lead + Math.round((afterMs / 1000) * rate)
  const stride = Math.max(1, Math.ceil(frames / points))
  const steps = gainsDb === null ? FINE_STEPS : COARSE_STEPS
  const start = attack - lead
  // The view after follows the reference: what the whole group waits for the rest of the song is no difference between sources.
  const referenceShift = readers[0]!.shiftAt(attack)
  const recorded = readers.map((reader, r) => reader.recorded(start, arrays.of(`source ${r}`, frames)))
  const referencePeak = peakOf(recorded[0]!)
  const traces = readers.map((reader, s): CloseUpTrace => {
    const before = recorded[s]!
    const peak = peakOf(before)
    const levelled =
      peak > 0 && referencePeak > 0 ? Math.round(dbFromGain(referencePeak / peak) * 10) / 10 : 0
    const gainDb = gainsDb?.[s] ?? levelled
    const gain = gainFromDb(gainDb)
    const shift = reader.shiftAt(attack)
    return {
      source: reader.traced.source,
      file: reader.traced.fileShown,
      drawnGainDb: gainDb,
      polarity: reader.traced.polarity,
      shiftMs: msFromSamples(shift, rate),
      before: thinned(before, gain, stride, steps),
      after: thinned(reader.moved(start, frames, shift - referenceShift), gain, stride, steps),
    }
  })
  return {
    sampleRateHz: rate,
    attackSeconds: attack / rate,
    fromMs: -msFromSamples(lead, rate),
    stepMs: msFromSamples(stride, rate),
    scale: traces
      .flatMap(trace => [...trace.before, ...trace.after])
      .reduce((top, value) => Math.max(top, Math.abs(value)), 0),
    traces,
  }
}

/**
 * A close-up of one group: an attack that is loud in all its sources, about 20 ms of it, as recorded and as moved. null where every
 * source is silent where it was looked for. Throws what reading a file throws, and INTERRUPTED.
 */
export const closeUp: Task<CloseUpInput, CloseUp | null> = (input, context) => {
  const readers: TraceReader[] = []
  const arrays = new ReusedArrays()
  try {
    for (const traced of input.traces) readers.push(new TraceReader(traced, arrays))
    // A recording that is clipped throughout is shown as it is.
    const whole = attacksIn(input, readers, arrays, context, true)
    const { best, all } = whole.best === null ? attacksIn(input, readers, arrays, context, false) : whole
    if (best === null) return null
    const main = draw(input, readers, arrays, best, { points: MOST_POINTS, gainsDb: null })
    const gainsDb = main.traces.map(trace => trace.drawnGainDb)
    const elsewhere = all
      .filter(attack => attack !== best)
      .map(attack => draw(input, readers, arrays, attack, { points: FEWER_POINTS, gainsDb }))
    return { ...main, elsewhere }
  } finally {
    for (const reader of readers) reader.close()
  }
}
