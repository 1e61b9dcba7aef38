import type { GroupMeasurement, Polarity } from '../measure/measurement.js'
import type { SessionGroup, SessionSource } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { decideSource } from './decide-source.js'
import { type Knot, lagKnots } from './follow.js'
import { sourceMeasurement } from './lookup.js'
import { decidePieces, type PieceArrival } from './pieces.js'
import { multiplied } from './polarities.js'

/** One source of a group before anybody is moved. */
export interface Arrival {
  readonly source: SessionSource
  readonly isReference: boolean
  /** Not waited for with `hold: latest`. A group is one where its reference is. */
  readonly isReamp: boolean
  /** Frames after the reference as recorded, positive = late; null = the source keeps the place that it was recorded at. */
  readonly lagSamples: number | null
  readonly lagInTime: readonly Knot[] | null
  /** Where its stretches arrive, for a source in pieces or beside a reference in pieces; else null. */
  readonly pieces: readonly PieceArrival[] | null
  /** What is done to it. */
  readonly polarity: Polarity
  readonly because: string
}

/** What a group that is a source brings along from being lined up in itself. */
export interface InnerGroup {
  /** Where its common arrival comes to lie, frames after that of its reference as recorded. */
  readonly arrivalSamples: number
  /** What was done to its reference. */
  readonly referencePolarity: Polarity
  readonly isReamp: boolean
}

/** The reference arrives with itself, or, where it is a group, with what that group waited for. */
export const referenceArrival = (reference: SessionSource, inner: InnerGroup | undefined): Arrival => ({
  source: reference,
  isReference: true,
  isReamp: isReamp(reference, inner),
  lagSamples: inner?.arrivalSamples ?? 0,
  lagInTime: null,
  pieces: null,
  polarity: reference.polarity === 'inverted' ? 'inverted' : 'normal',
  because: 'reference',
})

/**
 * Every other source. A group is measured by its reference as recorded, and arrives with it after it was lined up in itself; so its lag
 * grows by what it waited, and its measured polarity turns with its reference.
 *
 * @param referencePolarity What is done to the reference of `group`.
 * @param stepSeconds Where the steps of this source are followed; see `LagInTime`.
 */
export const arrivalOf = (
  source: SessionSource,
  group: SessionGroup,
  measuredGroup: GroupMeasurement,
  referencePolarity: Polarity,
  inner: InnerGroup | undefined,
  stepSeconds: readonly number[] | null,
): { readonly arrival: Arrival; readonly warnings: readonly Warning[] } => {
  const { align, sampleRateHz } = group
  const measured = sourceMeasurement(measuredGroup, source.name)
  const question = {
    group: group.name,
    source,
    measured,
    aim: align.aim,
    sampleRateHz,
    referencePolarity: multiplied(referencePolarity, inner?.referencePolarity ?? 'normal'),
  }
  const inPieces = measured.pieces === undefined ? null : decidePieces(question, measured.pieces)
  const { lagSamples, polarity, because, warnings } = inPieces ?? decideSource(question)
  const waited = inner?.arrivalSamples ?? 0
  const lagInTime =
    lagSamples === null || source.lag !== 'measured'
      ? null
      : lagKnots({ follow: align.follow, lagSamples, measured, sampleRateHz, stepSeconds })
  return {
    arrival: {
      source,
      isReference: false,
      isReamp: isReamp(source, inner),
      lagSamples: lagSamples === null ? null : lagSamples + waited,
      lagInTime: lagInTime?.map(knot => ({ ...knot, samples: knot.samples + waited })) ?? null,
      pieces:
        inPieces?.pieces.map(piece => ({
          ...piece,
          lagSamples: piece.lagSamples === null ? null : piece.lagSamples + waited,
        })) ?? null,
      polarity,
      because,
    },
    warnings,
  }
}

const isReamp = (source: SessionSource, inner: InnerGroup | undefined): boolean =>
  source.kind === 'file' ? source.via === 'reamp' : (inner?.isReamp ?? false)
