import type { PlannedSource } from '../../decide/plan.js'
import type { PieceMeasurement } from '../../measure/measurement.js'
import { msFromSamples } from '../../terms/units.js'
import type { ReportPiece } from '../report.js'

/** The pieces of a source with what was done to each. `planned`: null for a source that is a group. */
export const piecesOf = (
  pieces: readonly PieceMeasurement[],
  planned: PlannedSource | null,
  sampleRateHz: number,
): readonly ReportPiece[] =>
  pieces.map(piece => {
    const { lagSamples, lagUncertaintySamples, arrivalSpreadSamples } = piece
    const move = planned === null ? null : moveAt(planned, piece.stretches[0]!.startFrame)
    return {
      piece: piece.piece,
      referencePiece: piece.referencePiece,
      file: piece.file,
      heard: piece.stretches.map(({ startFrame, endFrame }) => ({
        startSeconds: startFrame / sampleRateHz,
        endSeconds: endFrame / sampleRateHz,
      })),
      lagSamples,
      lagMs: lagSamples === null ? null : msFromSamples(lagSamples, sampleRateHz),
      lagUncertaintySamples,
      shownUncertaintySamples:
        lagSamples === null ? null : Math.max(lagUncertaintySamples ?? 0, arrivalSpreadSamples ?? 0),
      polarity: piece.polarity,
      verdict: piece.verdict,
      reason: piece.reason,
      likePiece: piece.likePiece === null ? null : pieces[piece.likePiece]!.piece,
      shiftSamples: move?.shiftSamples ?? null,
      shiftMs: move === null ? null : msFromSamples(move.shiftSamples, sampleRateHz),
      moved: move?.polarity ?? null,
    }
  })

const moveAt = (
  { move }: PlannedSource,
  frame: number,
): Pick<PlannedSource['move'], 'shiftSamples' | 'polarity'> =>
  move.pieces?.findLast(({ fromFrame }) => fromFrame <= frame) ?? move.pieces?.[0] ?? move
