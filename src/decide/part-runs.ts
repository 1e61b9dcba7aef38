import type { PieceLayout } from '../recipe/pieces/piece-layout.js'
import { movedRuns, type StretchMove } from '../recipe/pieces/piece-windows.js'
import type { FileSource } from '../recipe/session.js'
import type { PartRun } from './plan.js'

/** Cross-fade of a source that is one file, but moves with pieces of others: as the recipe's default. */
const FADE_SECONDS = 0.01

type Recording = Pick<FileSource, 'file' | 'facts' | 'selection'>

/**
 * The runs of a source whose pieces are moved, on the timeline of the stems.
 * @param polarity Of the source as a whole, which the gain of the part has already.
 * @param recordedAtSamples Where its frame 0 lies as recorded.
 */
export const partRuns = (
  source: Recording,
  moves: readonly StretchMove[],
  polarity: StretchMove['polarity'],
  recordedAtSamples: number,
): readonly PartRun[] =>
  movedRuns(source.selection.laid ?? asOnePiece(source), moves).map(
    ({ shiftSamples, polarity: own, startFrame, endFrame, windows, ...fades }) => ({
      atSamples: recordedAtSamples + shiftSamples,
      sign: own === polarity ? 1 : -1,
      startFrame: recordedAtSamples + startFrame,
      endFrame: recordedAtSamples + endFrame,
      ...fades,
      windows,
    }),
  )

const asOnePiece = ({ file, facts: { frames, sampleRateHz } }: Recording): PieceLayout => ({
  pieces: [{ file, fileFrames: frames, fromFrame: 0, toFrame: frames, atFrame: 0 }],
  fadeFrames: Math.round(FADE_SECONDS * sampleRateHz),
})
