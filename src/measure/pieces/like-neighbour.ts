import type { PieceMeasurement } from '../measurement.js'

/** A piece that is not sure may lie this far from its neighbour all the same, seconds: a stand that nobody touched. */
const SAME_PLACE_SECONDS = 0.0001
/** How well the neighbour's lag has to explain the piece, against what explains it best. */
const LEAST_SCORE = 0.7

/**
 * Pieces that are not sure by themselves, but fit what the piece beside them in time is sure of: a neighbour's lag among the positions
 * that explain them well, with the same polarity; or nothing that is heard at all. They are lined up like that neighbour.
 * @param isSilent Whether nothing is played in a piece: then any lag is right.
 */
export const likeNeighbours = (
  pieces: readonly PieceMeasurement[],
  sampleRateHz: number,
  isSilent: (piece: PieceMeasurement) => boolean,
): readonly PieceMeasurement[] =>
  pieces.map((piece, i) => {
    if (piece.verdict === 'sure') return piece
    const beside = pieces
      .flatMap((other, j) => (j === i || other.verdict !== 'sure' ? [] : [{ other, j }]))
      .filter(({ other }) => other.referencePiece === piece.referencePiece || piece.referencePiece !== null)
      .sort((a, b) => apart(piece, a.other) - apart(piece, b.other))
    const found = beside[0]
    return found === undefined || !(isSilent(piece) || fits(piece, found.other, sampleRateHz))
      ? piece
      : { ...piece, likePiece: found.j }
  })

/** Frames between two pieces, 0 where they touch or overlap. */
const apart = (a: PieceMeasurement, b: PieceMeasurement): number =>
  Math.min(
    ...a.stretches.flatMap(one =>
      b.stretches.map(other => Math.max(0, one.startFrame - other.endFrame, other.startFrame - one.endFrame)),
    ),
  )

const fits = (piece: PieceMeasurement, neighbour: PieceMeasurement, sampleRateHz: number): boolean => {
  const arrivals = piece.candidates.filter(({ aim }) => aim === 'arrival')
  const best = Math.max(0, ...arrivals.map(({ score }) => score))
  const reach = Math.max(
    SAME_PLACE_SECONDS * sampleRateHz,
    3 * ((piece.lagUncertaintySamples ?? 0) + (neighbour.lagUncertaintySamples ?? 0)),
  )
  return arrivals.some(
    ({ lagSamples, polarity, score }) =>
      polarity === neighbour.polarity &&
      score >= LEAST_SCORE * best &&
      Math.abs(lagSamples - neighbour.lagSamples!) <= reach,
  )
}
