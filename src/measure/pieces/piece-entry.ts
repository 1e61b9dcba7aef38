import { heardStretches } from '../../recipe/pieces/piece-layout.js'
import type { JudgedSource } from '../group/judged-source.js'
import type { PieceMeasurement, SourceMeasurement } from '../measurement.js'
import { SILENCE_DBFS } from '../scan/sound-range.js'
import type { SessionTrack } from '../session/session-source.js'
import { worstOf } from '../verdict/worst-of.js'
import type { PieceUnit } from './piece-runs.js'

/** What is told of one piece. `startOffset`: of the track against the reference by their time stamps, frames. */
export const pieceEntry = (
  track: SessionTrack,
  unit: PieceUnit,
  judged: JudgedSource,
  startOffset: number,
  isReferenceInPieces: boolean,
): PieceMeasurement => ({
  piece: unit.piece + 1,
  referencePiece: isReferenceInPieces ? unit.referencePiece + 1 : null,
  file: fileShownOf(track, unit.piece),
  stretches: unit.spans.map(({ startFrame, endFrame }) => ({
    startFrame: startFrame - startOffset,
    endFrame: endFrame - startOffset,
  })),
  lagSamples: judged.lagSamples,
  lagUncertaintySamples: judged.uncertaintySamples,
  arrivalSpreadSamples: judged.spreadSamples,
  polarity: judged.polarity,
  verdict: worstOf([judged.lagVerdict, judged.polarityVerdict]),
  lagVerdict: judged.lagVerdict,
  polarityVerdict: judged.polarityVerdict,
  reason: judged.coherence === null && judged.reason !== null ? UNMEASURED : judged.reason,
  coherence: judged.coherence,
  candidates: judged.candidates,
  likePiece: null,
})

/** No frame of it voted. */
const UNMEASURED =
  'is too short, or too quiet, to be measured by itself: let more of its file be heard, or lay it into the take before'

/** Whether nothing is played in a piece, by the levels of the source as it is laid. */
export const isSilentPiece = ({ scan }: SessionTrack, { stretches }: PieceMeasurement): boolean => {
  const { stepFrames, levelsDbfs } = scan.activity
  return stretches.every(({ startFrame, endFrame }) =>
    levelsDbfs
      .subarray(Math.max(0, Math.floor(startFrame / stepFrames)), Math.ceil(endFrame / stepFrames))
      .every(level => level < SILENCE_DBFS),
  )
}

/** The pieces of the reference: each is what the others are measured against while it is heard. */
export const referencePieces = (
  track: SessionTrack,
  entry: SourceMeasurement,
): readonly PieceMeasurement[] => {
  const heard = heardStretches(track.file.selection.laid!)
  return [...new Set(heard.map(({ piece }) => piece))].map(piece => ({
    piece: piece + 1,
    referencePiece: piece + 1,
    file: fileShownOf(track, piece),
    stretches: heard
      .filter(stretch => stretch.piece === piece)
      .map(({ startFrame, endFrame }) => ({ startFrame, endFrame })),
    lagSamples: 0,
    lagUncertaintySamples: 0,
    arrivalSpreadSamples: 0,
    polarity: 'normal',
    verdict: entry.verdict,
    lagVerdict: entry.lagVerdict,
    polarityVerdict: entry.polarityVerdict,
    reason: entry.reason,
    coherence: null,
    candidates: [],
    likePiece: null,
  }))
}

const fileShownOf = ({ file }: SessionTrack, piece: number): string =>
  file.pieces?.[piece]?.fileShown ?? file.fileShown
