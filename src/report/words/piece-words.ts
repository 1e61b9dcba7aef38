import type { ReportPiece, ReportSource } from '../report.js'
import { clock, fixed, milliseconds, signed } from './figures.js'

/** Shorter stretches are told to a tenth of a second. */
const SHORT_SECONDS = 10

/** "0:00–0:16, 0:30.0–0:30.6". */
export const heardWords = ({ heard }: Pick<ReportPiece, 'heard'>): string =>
  heard
    .map(({ startSeconds, endSeconds }) => {
      const places = endSeconds - startSeconds < SHORT_SECONDS ? 1 : 0
      return `${clock(startSeconds, places)}–${clock(endSeconds, places)}`
    })
    .join(', ')

/** The piece that is heard last before another begins. */
export const heardBefore = (pieces: readonly ReportPiece[], piece: ReportPiece): ReportPiece | undefined => {
  const start = piece.heard[0]?.startSeconds ?? 0
  const lastStart = ({ heard }: ReportPiece): number =>
    heard.findLast(({ startSeconds }) => startSeconds < start)?.startSeconds ?? -Infinity
  return pieces
    .filter(one => one !== piece && lastStart(one) > -Infinity)
    .sort((a, b) => lastStart(b) - lastStart(a))[0]
}

/** A change of lag that is told, ms. */
const TOLD_MS = 0.02

/** How a piece arrives against the one before it: "0.41 ms later than before"; null where there is no news. */
export const changeWords = (piece: ReportPiece, before: ReportPiece | undefined): string | null => {
  if (before === undefined || piece.lagMs === null || before.lagMs === null) return null
  const by = piece.lagMs - before.lagMs
  const words = [
    Math.abs(by) < TOLD_MS
      ? null
      : `${milliseconds(Math.abs(by))} ${by > 0 ? 'later' : 'earlier'} than before`,
    piece.polarity === before.polarity ? null : 'the other way round than before',
  ].filter(word => word !== null)
  return words.length === 0 ? null : words.join(', ')
}

/** What was done to a piece: "moved −115.01 frames", "lined up like piece 1". */
export const pieceDone = (piece: ReportPiece, source: ReportSource): string => {
  if (source.isReference) return 'stays in place'
  const turned = piece.moved === 'inverted' ? ', inverted' : ''
  if (piece.likePiece !== null) return `lined up like piece ${piece.likePiece} beside it${turned}`
  if (piece.shiftSamples === null) return 'moved as one'
  if (piece.shiftSamples === 0 && turned === '') return 'left as recorded'
  return `moved ${signed(piece.shiftSamples, 2)} frames${turned}`
}

/** One line on a piece, for the hand-off sheet. */
export const pieceLine = (piece: ReportPiece, source: ReportSource): string => {
  const uncertain =
    piece.shownUncertaintySamples === null ? '' : ` ± ${fixed(piece.shownUncertaintySamples, 2)}`
  const lag =
    piece.lagSamples === null ? 'lag not known' : `lag ${signed(piece.lagSamples, 2)}${uncertain} frames`
  return `${source.name}, piece ${piece.piece} (${piece.file}), ${heardWords(piece)}: ${lag}, ${piece.verdict}; ${pieceDone(piece, source)}`
}
