import type { GroupMeasurement, PieceMeasurement, SourceMeasurement } from '../measure/measurement.js'
import { milliseconds } from '../report/words/figures.js'
import { heardWords } from '../report/words/piece-words.js'

/** One line for each piece of a source in pieces: when it is heard, how it arrives, how sure. None where there is one. */
export const pieceLines = (source: SourceMeasurement, group: GroupMeasurement): readonly string[] => {
  const { pieces = [] } = source
  if (pieces.length < 2 || source.name === group.reference) return []
  return pieces.map(piece => pieceLine(piece, pieces, group.sampleRateHz))
}

const pieceLine = (
  { piece, stretches, lagSamples, polarity, verdict, likePiece }: PieceMeasurement,
  pieces: readonly PieceMeasurement[],
  sampleRateHz: number,
): string => {
  const heard = heardWords({
    heard: stretches.map(({ startFrame, endFrame }) => ({
      startSeconds: startFrame / sampleRateHz,
      endSeconds: endFrame / sampleRateHz,
    })),
  })
  const ms = lagSamples === null ? null : (1000 * lagSamples) / sampleRateHz
  const arrives = ms === null ? 'not known' : `${milliseconds(Math.abs(ms))} ${ms >= 0 ? 'late' : 'early'}`
  const turned = polarity === 'inverted' ? ', inverted' : ''
  const like = likePiece === null ? '' : `, taken to lie like piece ${pieces[likePiece]!.piece}`
  return `piece ${piece}, ${heard}: ${arrives}${turned}, ${verdict}${like}`
}
