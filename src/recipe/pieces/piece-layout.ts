/**
 * A recording that was made in several pieces and is laid into one timeline. Frame 0 is the start of the song, or the earliest piece's
 * where time stamps say the places. Plain data; files are absolute paths.
 */
export interface PieceLayout {
  /** As in the recipe: a later piece lies over the earlier ones. At least one. */
  readonly pieces: readonly LaidPiece[]
  /** Longest cross-fade between two pieces, frames, 0 or more. */
  readonly fadeFrames: number
}

/** A stretch of a file and where it lies. Whole frames. */
export interface LaidPiece {
  readonly file: string
  /** Frames of the whole file: what lies outside the used stretch may still sound in a cross-fade. */
  readonly fileFrames: number
  /** The used stretch of the file: its first frame, and the one after its last. */
  readonly fromFrame: number
  readonly toFrame: number
  /** Where its first used frame lies in the timeline, 0 or more. */
  readonly atFrame: number
}

/** A stretch of the timeline in which one piece is the one that is heard, cross-fades left aside. */
export interface HeardStretch {
  /** Index into `PieceLayout.pieces`. */
  readonly piece: number
  readonly startFrame: number
  readonly endFrame: number
}

/** Frames from the start of the timeline to the latest end of a piece. */
export const laidFrames = ({ pieces }: PieceLayout): number =>
  pieces.reduce((end, piece) => Math.max(end, endOf(piece)), 0)

const endOf = ({ atFrame, fromFrame, toFrame }: LaidPiece): number => atFrame + toFrame - fromFrame

/** Which piece is heard when, in the order of time: a later one covers what lies under it. Between two stretches there may be a gap. */
export const heardStretches = ({ pieces }: PieceLayout): readonly HeardStretch[] => {
  let heard: HeardStretch[] = []
  pieces.forEach((own, piece) => {
    const [start, end] = [own.atFrame, endOf(own)]
    heard = heard.flatMap(under => [
      ...(under.startFrame < start ? [{ ...under, endFrame: Math.min(under.endFrame, start) }] : []),
      ...(under.endFrame > end ? [{ ...under, startFrame: Math.max(under.startFrame, end) }] : []),
    ])
    if (end > start) heard.push({ piece, startFrame: start, endFrame: end })
  })
  return heard.sort((a, b) => a.startFrame - b.startFrame)
}
