import type { Session, SessionGroup } from '../../recipe/session.js'
import { clockText } from '../../recipe/words/passage.js'
import { fixed } from '../../terms/figure-text.js'
import { metresFromSamples, msFromSamples } from '../../terms/units.js'
import type { Warning } from '../../terms/warning.js'
import type { PieceMeasurement, SourceMeasurement } from '../measurement.js'

/** A change of lag that is told, seconds: 0.7 cm of air. Less moves nothing that is heard. */
const TOLD_SECONDS = 2e-5

/** PIECE_MOVED: pieces that arrive otherwise than the one before. PIECE_LIKE_NEIGHBOUR: those that are not sure by themselves. */
export const pieceWarnings = (
  session: Session,
  group: SessionGroup,
  sources: readonly SourceMeasurement[],
): readonly Warning[] =>
  sources.flatMap(source => {
    if (source.name === group.reference || source.pieces === undefined) return []
    const told = source.pieces.flatMap((piece, i, all): readonly Omit<Warning, 'group' | 'source'>[] => {
      // One in which nothing is played is no news: no lag of it is heard.
      if (piece.likePiece !== null)
        return piece.coherence === null ? [] : [likeNeighbour(piece, all[piece.likePiece]!, group)]
      const before = heardBefore(all.slice(0, i), piece)
      if (piece.verdict !== 'sure' || before === undefined) return []
      const message = movedText(piece, before, session, group)
      return message === null ? [] : [{ code: 'PIECE_MOVED', message }]
    })
    return told.map(one => ({ ...one, group: group.name, source: source.name }))
  })

/** The sure piece that is heard last before another begins: what it was punched into, or follows. */
const heardBefore = (
  earlier: readonly PieceMeasurement[],
  { stretches }: PieceMeasurement,
): PieceMeasurement | undefined => {
  const start = stretches[0]!.startFrame
  const lastStart = (one: PieceMeasurement): number =>
    one.stretches.findLast(({ startFrame }) => startFrame < start)?.startFrame ?? -Infinity
  return earlier.filter(({ verdict }) => verdict === 'sure').sort((a, b) => lastStart(b) - lastStart(a))[0]
}

const placeText = ({ piece, file, stretches }: PieceMeasurement, { sampleRateHz }: SessionGroup): string =>
  `piece ${piece} (${file}, at ${clockText(stretches[0]!.startFrame / sampleRateHz)})`

const likeNeighbour = (
  piece: PieceMeasurement,
  neighbour: PieceMeasurement,
  group: SessionGroup,
): Omit<Warning, 'group' | 'source'> => ({
  code: 'PIECE_LIKE_NEIGHBOUR',
  message:
    `${capital(placeText(piece, group))} is not sure by itself; it fits the lag of piece ${neighbour.piece} beside it, ` +
    'which is, and is lined up like that. Check it by ear.',
})

const movedText = (
  piece: PieceMeasurement,
  before: PieceMeasurement,
  { temperatureCelsius }: Session,
  group: SessionGroup,
): string | null => {
  const rate = group.sampleRateHz
  const by = piece.lagSamples! - before.lagSamples!
  const errors = [piece, before].map(one => one.lagUncertaintySamples ?? 0)
  const isMoved = Math.abs(by) > Math.max(TOLD_SECONDS * rate, 3 * (errors[0]! + errors[1]!))
  const isTurned = piece.polarity !== before.polarity
  if (!isMoved && !isTurned) return null
  const ms = fixed(msFromSamples(Math.abs(by), rate), 2)
  const cm = fixed(100 * metresFromSamples(Math.abs(by), rate, temperatureCelsius), 1)
  const way = by > 0 ? 'later' : 'earlier'
  const arrives = `arrives ${ms} ms ${way} (${cm} cm of air) than piece ${before.piece}: something was moved or patched anew in between`
  const turned = isTurned ? `${isMoved ? ', and' : 'is'} the other way round` : ''
  return `${capital(placeText(piece, group))} ${isMoved ? arrives : ''}${turned}. Each piece is lined up by its own lag; nothing is to be done.`
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
