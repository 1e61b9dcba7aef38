import type { MeasuredTraces } from '../group/measured-traces.js'

/** No two paths through air or wire are that alike: what is left is rounding and dither. */
const COHERENCE = 0.99999
const LAG_SAMPLES = 0.001

/**
 * Whether two sources hold the same recording at whatever gain: every channel of the one, with the same channel of the other, has
 * all in common and no lag at all. False where a pair was not measured (above 16 sources not all are).
 */
export const isTwin = ({ traces, pairs }: MeasuredTraces, a: number, b: number): boolean => {
  const channelsOf = (source: number): number[] => traces.flatMap((t, i) => (t.source === source ? [i] : []))
  const own = channelsOf(a)
  const others = channelsOf(b)
  return (
    own.length === others.length &&
    own.every((trace, channel) => {
      const other = others[channel]!
      const pair = pairs.find(
        p => (p.first === trace && p.second === other) || (p.first === other && p.second === trace),
      )
      return (
        pair?.estimate != null &&
        pair.estimate.coherence > COHERENCE &&
        Math.abs(pair.shiftSamples + pair.estimate.lagSamples) < LAG_SAMPLES
      )
    })
  )
}
