import type { PieceMeasurement, SourceMeasurement } from '../measure/measurement.js'
import type { StretchMove } from '../recipe/pieces/piece-windows.js'
import { type SessionSource, sourceOfPiece } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { decideSource, type SourceDecision, type SourceQuestion } from './decide-source.js'
import { doubtOf } from './doubt.js'
import type { Knot } from './follow.js'
import { multiplied } from './polarities.js'
import { snapped } from './snapped.js'

/** Where one stretch of a source in pieces arrives, before anybody is moved. */
export interface PieceArrival {
  /** Frames of the source's own timeline; it holds until the next stretch begins. */
  readonly fromFrame: number
  /** As that of a source: null = it stays where it was recorded. */
  readonly lagSamples: number | null
  readonly polarity: SourceDecision['polarity']
}

/** What is decided of a source, and of each of its pieces. */
export interface PiecesDecision extends SourceDecision {
  readonly pieces: readonly PieceArrival[]
}

/** Whether something that is asked for of a source, or of one of its pieces, is not sure. What the recipe states needs no verdict. */
export const isDoubtful = (source: SessionSource, measured: SourceMeasurement): boolean => {
  const { pieces = [] } = measured
  if (pieces.length === 0) return doubtOf(source, measured) !== null
  return pieces.some(
    piece => doubtOf(sourceOfPiece(source, piece.piece), asSource(measured, piece, pieces)) !== null,
  )
}

/** Each piece by its own verdict, or by what the recipe states of it. The source as a whole is told by the piece that is heard longest. */
export const decidePieces = (
  question: SourceQuestion,
  pieces: readonly PieceMeasurement[],
): PiecesDecision => {
  const decided = pieces.map(piece => ({
    piece,
    decision: decideSource({
      ...question,
      source: sourceOfPiece(question.source, piece.piece),
      measured: asSource(question.measured, piece, pieces),
    }),
  }))
  const [first] = decided
  if (first === undefined) return { ...decideSource(question), pieces: [] }
  const main = decided.reduce((longest, one) =>
    framesHeard(one.piece) > framesHeard(longest.piece) ? one : longest,
  )
  const isOne = decided.every(({ decision }) => decision.because === first.decision.because)
  return {
    lagSamples: main.decision.lagSamples,
    polarity: main.decision.polarity,
    because: isOne
      ? first.decision.because
      : decided
          .map(({ piece, decision }) => `${pieceName(piece)} ${decision.because.replaceAll('; ', ', ')}`)
          .join('; '),
    warnings: decided.flatMap(({ piece, decision }) =>
      decision.warnings.map(
        (warning): Warning =>
          decided.length === 1
            ? warning
            : { ...warning, message: `Piece ${piece.piece}: ${warning.message}` },
      ),
    ),
    pieces: decided
      .flatMap(({ piece, decision: { lagSamples, polarity } }) =>
        piece.stretches.map(({ startFrame }) => ({ fromFrame: startFrame, lagSamples, polarity })),
      )
      .sort((a, b) => a.fromFrame - b.fromFrame),
  }
}

const pieceName = ({ piece, likePiece }: PieceMeasurement): string =>
  `piece ${piece}${likePiece === null ? '' : ', like the one beside it,'}`

const framesHeard = ({ stretches }: PieceMeasurement): number =>
  stretches.reduce((sum, { startFrame, endFrame }) => sum + endFrame - startFrame, 0)

/** A piece as if it were the source; one that is lined up like its neighbour has the neighbour's lag. */
const asSource = (
  source: SourceMeasurement,
  piece: PieceMeasurement,
  pieces: readonly PieceMeasurement[],
): SourceMeasurement => {
  const told = piece.likePiece === null ? piece : pieces[piece.likePiece]!
  const { lagSamples, lagUncertaintySamples, arrivalSpreadSamples, polarity } = told
  const { verdict, lagVerdict, polarityVerdict, reason, coherence, candidates } = told
  return {
    ...source,
    ...{ lagSamples, lagUncertaintySamples, arrivalSpreadSamples, polarity },
    ...{ verdict, lagVerdict, polarityVerdict, reason, coherence, candidates },
  }
}

/** Moves of which all are alike are one; null then, and where there are none. Neighbours that are alike are joined. */
export const differingMoves = (moves: readonly StretchMove[]): readonly StretchMove[] | null => {
  const differing = moves.filter((move, i) => {
    const before = moves[i - 1]
    return (
      before === undefined || before.shiftSamples !== move.shiftSamples || before.polarity !== move.polarity
    )
  })
  return differing.length > 1 ? differing : null
}

/** What changes a shift and a polarity over the time of a source: null = constant. */
export interface Moved {
  readonly shiftSamples: number
  readonly polarity: StretchMove['polarity']
  readonly pieces: readonly StretchMove[] | null
}

/** The moves of a group and of a source in it, added up; those of the group count in a time that is `offset` frames further on. */
export const addedPieces = (group: Moved, own: Moved, offset: number): readonly StretchMove[] | null => {
  if (group.pieces === null && own.pieces === null) return null
  const outer = (group.pieces ?? [{ ...group, fromFrame: 0 }]).map(move => ({
    ...move,
    fromFrame: move.fromFrame - offset,
  }))
  const inner = own.pieces ?? [{ ...own, fromFrame: 0 }]
  const at = (moves: readonly StretchMove[], frame: number): StretchMove =>
    moves.findLast(({ fromFrame }) => fromFrame <= frame) ?? moves[0]!
  const frames = [...new Set([...outer, ...inner].map(({ fromFrame }) => Math.max(0, fromFrame)))].sort(
    (a, b) => a - b,
  )
  return differingMoves(
    frames.map(fromFrame => {
      const [a, b] = [at(outer, fromFrame), at(inner, fromFrame)]
      return {
        fromFrame,
        shiftSamples: snapped(a.shiftSamples + b.shiftSamples),
        polarity: multiplied(a.polarity, b.polarity),
      }
    }),
  )
}

/** Length of a slope, where nothing asks for a longer one. */
const SLOPE_SECONDS = 0.01

/** A slope is this steep where there is room, and never steeper than the second: a filter that follows the curve must not run backwards. */
const STEEP = 0.25
const STEEPEST = 0.8

/**
 * The shift over the time of a source as a curve: level, and a short slope at each joint. For whoever asks where a moment of it comes to
 * lie; what is heard at the joint itself is made by `partRuns`. A piece so short that the curve cannot reach it is passed over.
 */
export const knotsOfPieces = (moves: readonly StretchMove[], sampleRateHz: number): readonly Knot[] => {
  const knots: Knot[] = []
  let before: StretchMove | null = null
  moves.forEach((move, i) => {
    const at = (frame: number): number => Math.max(0, frame) / sampleRateHz
    if (before === null) {
      before = move
      knots.push({ atSeconds: 0, samples: move.shiftSamples })
      return
    }
    const change = Math.abs(move.shiftSamples - before.shiftSamples)
    const room = [before.fromFrame, moves[i + 1]?.fromFrame].map(frame =>
      frame === undefined ? Infinity : Math.abs(move.fromFrame - frame) / 3,
    )
    const half = Math.min(Math.max(SLOPE_SECONDS * sampleRateHz, change / STEEP) / 2, ...room)
    if (change > 2 * half * STEEPEST) return
    knots.push(
      { atSeconds: at(move.fromFrame - half), samples: before.shiftSamples },
      { atSeconds: at(move.fromFrame + half), samples: move.shiftSamples },
    )
    before = move
  })
  return knots
}
