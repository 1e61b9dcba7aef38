import { type HeardStretch, heardStretches } from '../../recipe/pieces/piece-layout.js'
import type { ChannelSelection } from '../../recipe/session.js'
import { type SessionTrack, stampOffset } from '../session/session-source.js'
import type { PieceRun, Span } from './piece-runs.js'

/** Whether a track is laid from pieces: its own, or those of the reference of the group that it is. */
export const isInPieces = ({ file }: SessionTrack): boolean => file.selection.laid !== undefined

/** Which piece of each track is heard when, on the timeline of the reference. A track in one file is one piece. */
export const heardPieces = (
  tracks: readonly SessionTrack[],
  reference: SessionTrack,
): readonly (readonly HeardStretch[])[] =>
  tracks.map(track => {
    const offset = stampOffset(track, reference)
    const { laid } = track.file.selection
    const own =
      laid === undefined ? [{ piece: 0, startFrame: 0, endFrame: track.scan.frames }] : heardStretches(laid)
    return own.map(({ piece, startFrame, endFrame }) => ({
      piece,
      startFrame: startFrame + offset,
      endFrame: endFrame + offset,
    }))
  })

/** One piece as a track of its own: the whole file, so that windows at the edges of a piece see what was really played there. */
export interface PieceTrack {
  readonly track: SessionTrack
  /** Index into the tracks of the group. */
  readonly index: number
  /** Where frame 0 of the file lies on the timeline of the track's own recording. */
  readonly fileStart: number
}

/** One piece of a track as a track of its own: its file from end to end; the track itself where it has no such piece. */
export const pieceTrack = (track: SessionTrack, index: number, piece: number): PieceTrack => {
  const { laid } = track.file.selection
  const own = laid?.pieces[piece]
  if (own === undefined) return { track, index, fileStart: 0 }
  const file = { ...track.file, file: own.file, selection: channelsAlone(track.file.selection) }
  return {
    track: { ...track, file, scan: { ...track.scan, frames: own.fileFrames } },
    index,
    fileStart: own.atFrame - own.fromFrame,
  }
}

const channelsAlone = (selection: ChannelSelection): ChannelSelection =>
  selection.kind === 'pick' ? { kind: 'pick', index: selection.index } : { kind: selection.kind }

type Passage = readonly { readonly startSeconds: number; readonly endSeconds: number }[]

/**
 * Where a run is measured, seconds of the file that is its reference: its spans within the passage of the recipe, which counts in the
 * time of the whole reference; all of its spans where the passage names none of them.
 */
export const passageOf = (
  { spans }: Pick<PieceRun, 'spans'>,
  passage: Passage | null,
  referenceStart: number,
  sampleRateHz: number,
): Passage => {
  const asPassage = (all: readonly Span[]): Passage =>
    all.map(({ startFrame, endFrame }) => ({
      startSeconds: (startFrame - referenceStart) / sampleRateHz,
      endSeconds: (endFrame - referenceStart) / sampleRateHz,
    }))
  if (passage === null) return asPassage(spans)
  const within = spans.flatMap(span =>
    passage.flatMap(({ startSeconds, endSeconds }): readonly Span[] => {
      const startFrame = Math.max(span.startFrame, startSeconds * sampleRateHz)
      const endFrame = Math.min(span.endFrame, endSeconds * sampleRateHz)
      return endFrame > startFrame ? [{ startFrame, endFrame }] : []
    }),
  )
  return asPassage(within.length > 0 ? within : spans)
}
