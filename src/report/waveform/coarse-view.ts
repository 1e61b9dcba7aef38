import { delayTaps } from '../../signal/fractional-delay.js'
import { gainFromDb } from '../../terms/units.js'
import type { CloseUp, CloseUpTrace, CloseUpView } from '../close-up/close-up.js'
import { quietestScale } from '../close-up/moment.js'
import type { ReportGroup } from '../report.js'
import type { Waveform } from './waveform.js'

/** Points of a view: what a value stands for is told beside it, between them the curve is the one that the band allows. */
const POINTS = 480
/** The curve between values: a sinc of so many values to each side, at so many places between two. */
const HALF_LENGTH = 16
const BETA = 8
const PLACES = 128

let tables: readonly Float64Array[] | null = null

const tapsAt = (place: number): Float64Array => {
  tables ??= Array.from({ length: PLACES + 1 }, (_, i) => delayTaps(i / PLACES, HALF_LENGTH, BETA))
  return tables[place]!
}

/** The curve through the values at a place between them, in steps; 0 outside. */
export const between = (values: Int32Array, at: number): number => {
  const next = Math.ceil(at)
  const taps = tapsAt(Math.round((next - at) * PLACES))
  let sum = 0
  for (let i = 0; i < taps.length; i++) sum += taps[i]! * (values[next - HALF_LENGTH + i] ?? 0)
  return sum
}

/** Shift of a source at a time of its own: its move's, or that with which it was drawn before. */
const shiftOf = (group: ReportGroup, trace: CloseUpTrace, seconds: number): number => {
  const move = group.sources.find(({ name }) => name === trace.source)?.move ?? null
  const knots = move?.follow ?? null
  if (knots === null || knots.length === 0) return (trace.shiftMs * group.sampleRateHz) / 1000
  const next = knots.findIndex(({ atSeconds }) => atSeconds >= seconds)
  if (next <= 0) return knots[next === 0 ? 0 : knots.length - 1]!.shiftSamples
  const [a, b] = [knots[next - 1]!, knots[next]!]
  const share = (seconds - a.atSeconds) / (b.atSeconds - a.atSeconds)
  return a.shiftSamples + share * (b.shiftSamples - a.shiftSamples)
}

/** The same view as a close-up at any moment of the song, from its coarse waveform. `valuesOf`: by the id of a source of it. */
export const coarseView = (
  group: ReportGroup,
  closeUp: CloseUp,
  waveform: Waveform,
  valuesOf: (id: string) => Int32Array,
  atSeconds: number,
): CloseUpView => {
  const rate = group.sampleRateHz
  const lengthMs = closeUp.stepMs * (closeUp.traces[0]?.before.length ?? 0)
  const stepMs = lengthMs / POINTS
  let waits = 0
  const traces = closeUp.traces.flatMap((trace, t): readonly CloseUpTrace[] => {
    const held = waveform.sources.find(({ source }) => source === trace.source)
    if (held === undefined) return []
    const values = valuesOf(held.id)
    const shift = shiftOf(group, trace, atSeconds - held.recordedAtSamples / rate)
    // The reference stands first: what all wait for the rest of the song is no difference between them.
    if (t === 0) waits = shift
    const gain = held.step * gainFromDb(trace.drawnGainDb)
    const sign = trace.polarity === 'inverted' ? -1 : 1
    const seen = (shiftSamples: number, factor: number): number[] =>
      Array.from({ length: POINTS }, (_, i) => {
        const frame = (atSeconds + (closeUp.fromMs + i * stepMs) / 1000) * rate
        return (
          factor * between(values, (frame - held.recordedAtSamples - shiftSamples) / waveform.everyFrames)
        )
      })
    return [
      {
        ...trace,
        shiftMs: (shift * 1000) / rate,
        before: seen(0, gain),
        after: seen(shift - waits, sign * gain),
      },
    ]
  })
  return {
    sampleRateHz: rate,
    attackSeconds: atSeconds,
    fromMs: closeUp.fromMs,
    stepMs,
    scale: quietestScale(closeUp, traces),
    traces,
  }
}
