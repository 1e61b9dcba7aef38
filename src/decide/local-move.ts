import type { Polarity } from '../measure/measurement.js'
import type { StretchMove } from '../recipe/pieces/piece-windows.js'
import type { SessionGroup } from '../recipe/session.js'
import type { Arrival } from './arrival.js'
import type { Knot } from './follow.js'
import { differingMoves } from './pieces.js'
import { snapped } from './snapped.js'
import { lagText, msText } from './words.js'

/** What one group does to one of its sources, in itself: the moves of groups that hold this group come on top. */
export interface LocalMove {
  /** Positive = moved later. */
  readonly shiftSamples: number
  readonly polarity: Polarity
  /** The shift over the source's own time, where it is followed; else null. */
  readonly follow: readonly Knot[] | null
  /** The moves of its stretches, where they differ: a source in pieces; else null. */
  readonly pieces: readonly StretchMove[] | null
  readonly because: string
}

/**
 * Shift = common arrival − lag + nudge. A source that stays as recorded keeps its place against the reference: it moves as that does,
 * and nothing else is done to it.
 */
export const localMove = (arrival: Arrival, group: SessionGroup, commonArrival: number): LocalMove => {
  const { source, lagSamples, lagInTime } = arrival
  const shiftFor = (lag: number): number => commonArrival - lag + source.nudgeSamples
  const shift = shiftFor(lagSamples ?? 0)
  const settled = (exact: number): number =>
    snapped(group.align.resolution === 'sample' ? Math.round(exact) : exact)
  const shiftSamples = settled(shift)
  const follow = lagInTime?.map(knot => ({ ...knot, samples: shiftFor(knot.samples) })) ?? null
  const { sampleRateHz } = group
  const nudged =
    source.nudgeSamples === 0 ? [] : [`left ${lagText(source.nudgeSamples, sampleRateHz)} on purpose`]
  const followed =
    follow === null ? [] : [`its ${group.align.follow === 'drift' ? 'drift' : 'steps'} followed`]
  const text = arrival.isReference ? referenceText(arrival, shiftSamples, sampleRateHz) : arrival.because
  return {
    shiftSamples,
    polarity: arrival.polarity,
    follow,
    pieces: differingMoves(
      (arrival.pieces ?? []).map(piece => ({
        fromFrame: piece.fromFrame,
        shiftSamples: settled(shiftFor(piece.lagSamples ?? 0)),
        polarity: piece.polarity,
      })),
    ),
    because: [text, ...followed, ...nudged].join('; '),
  }
}

const referenceText = ({ source, polarity }: Arrival, shiftSamples: number, sampleRateHz: number): string => {
  const inverted = polarity === 'inverted' ? ', inverted as the recipe states' : ''
  const waits = snapped(shiftSamples - source.nudgeSamples)
  if (waits !== 0) return `reference: waits ${msText(waits, sampleRateHz)} for the latest${inverted}`
  return shiftSamples === 0 && inverted === '' ? 'reference: untouched bits' : `reference${inverted}`
}
