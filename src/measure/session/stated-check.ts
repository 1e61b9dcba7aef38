import { type Session, type SessionGroup, type SessionSource, sourceOfPiece } from '../../recipe/session.js'
import { fixed } from '../../terms/figure-text.js'
import { msFromSamples } from '../../terms/units.js'
import type { MeasuredLag, Polarity, SourceMeasurement } from '../measurement.js'

const SMALLEST_LAG_SECONDS = 0.0001

/**
 * What the recipe states of a source, lag or polarity, and a sure measurement contradicts: sentences for STATED_DIFFERS.
 *
 * Polarity is measured against the reference as recorded. Where the recipe turns the reference over, a source fits it turned over
 * as well if it measures normal. The reference itself is the measure, and a recipe that turns it contradicts nothing.
 */
export function* statedDiffers(
  place: Place,
  stated: SessionSource,
  measured: SourceMeasurement,
): Generator<string> {
  const { pieces = [] } = measured
  const own = stated.kind === 'file' ? (stated.pieces ?? []) : []
  if (!own.some(piece => piece.lag !== undefined || piece.polarity !== undefined)) {
    yield* differs(place, stated, measured)
    return
  }
  for (const piece of pieces)
    for (const message of differs(place, sourceOfPiece(stated, piece.piece), piece))
      yield `Piece ${piece.piece}: ${message}`
}

interface Place {
  readonly session: Session
  readonly group: SessionGroup
}

function* differs(
  { session, group }: Place,
  stated: SessionSource,
  measured: MeasuredLag,
): Generator<string> {
  if (stated.name === group.reference) return
  const rate = group.sampleRateHz
  if (typeof stated.lag === 'object' && measured.lagVerdict === 'sure' && measured.lagSamples !== null) {
    const allowed = Math.max(
      3 * (measured.lagUncertaintySamples ?? 0),
      measured.arrivalSpreadSamples ?? 0,
      SMALLEST_LAG_SECONDS * rate,
    )
    const ms = (samples: number): string => `${fixed(msFromSamples(samples, rate), 2)} ms`
    if (Math.abs(stated.lag.samples - measured.lagSamples) > allowed) {
      yield `The recipe states a lag of ${ms(stated.lag.samples)}; measured are ${ms(measured.lagSamples)}. The stated lag is used; check it by ear.`
    }
  }
  if (stated.polarity === 'measured' || measured.polarityVerdict !== 'sure' || measured.polarity === null)
    return
  const inner = stated.kind === 'group' ? session.groups.find(({ name }) => name === stated.group) : undefined
  const fitting = turned(
    turned(measured.polarity, referenceTurn(session, group)),
    inner === undefined ? 'normal' : referenceTurn(session, inner),
  )
  if (fitting === 'normal' && stated.polarity === 'inverted') {
    yield `The recipe turns this source over; by the sound it fits ${group.reference} as it was recorded. What is stated is done; check it by ear.`
  }
  if (fitting === 'inverted' && stated.polarity === 'as-recorded') {
    yield `The recipe leaves this source the way round that it was recorded; by the sound it is inverted against ${group.reference} as that is delivered. What is stated is done; check it by ear.`
  }
}

/** What the recipe does to the reference of a group, through the groups that it may be in turn. */
export const referenceTurn = (session: Session, group: SessionGroup): Polarity => {
  const reference = group.sources.find(({ name }) => name === group.reference)
  if (reference === undefined) return 'normal'
  const own = reference.polarity === 'inverted' ? 'inverted' : 'normal'
  const inner =
    reference.kind === 'group' ? session.groups.find(({ name }) => name === reference.group) : undefined
  return inner === undefined ? own : turned(own, referenceTurn(session, inner))
}

const turned = (a: Polarity, b: Polarity): Polarity => (a === b ? 'normal' : 'inverted')
