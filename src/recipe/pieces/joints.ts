import type { FadeLaw, FadeWindow } from './fade-window.js'
import type { LaidPiece } from './piece-layout.js'

/** A stretch of one piece, with what is done to it. Frames of the recording's own timeline, before the move. */
export interface MovedStretch {
  /** Index into `PieceLayout.pieces`. */
  readonly piece: number
  readonly laid: LaidPiece
  readonly startFrame: number
  readonly endFrame: number
  readonly shiftSamples: number
  readonly polarity: 'normal' | 'inverted'
}

/** How one stretch gives way to the next: the earlier ends at `end`, the later begins at `start`; between lies their cross-fade, or a gap. */
interface Joint {
  readonly end: number
  readonly start: number
  readonly fadeFrames: number
  readonly law: FadeLaw
}

/** Where frame 0 of the file comes to lie. */
export const fileStart = ({ laid, shiftSamples }: MovedStretch): number =>
  laid.atFrame - laid.fromFrame + shiftSamples

/**
 * The windows of sounds that follow each other in time, given by the stretches at their ends. Neighbours overlap by the length of their
 * common cross-fade, in which one fades out while the other fades in. It goes along with the piece on top and lies within it as far as
 * the file below reaches; a joint at which the files have nothing in common has none. A file's own start and end are not faded; where
 * it is cut, or there is nothing beside it, it is.
 */
export const windowsOf = (
  sounds: readonly { readonly first: MovedStretch; readonly last: MovedStretch }[],
  fadeFrames: number,
): readonly FadeWindow[] => {
  const joints = sounds.slice(1).map((right, i) => jointOf(sounds[i]!.last, right.first, fadeFrames))
  return sounds.map(({ first, last }, i): FadeWindow => {
    const before = joints[i - 1]
    const after = joints[i]
    return {
      startFrame: before?.start ?? Math.floor(first.startFrame + first.shiftSamples),
      endFrame: after?.end ?? Math.ceil(last.endFrame + last.shiftSamples),
      fadeInFrames: before?.fadeFrames ?? (first.laid.fromFrame > 0 ? shorter(fadeFrames, first) : 0),
      fadeOutFrames:
        after?.fadeFrames ?? (last.laid.toFrame < last.laid.fileFrames ? shorter(fadeFrames, last) : 0),
      fadeIn: before?.law ?? 'amplitude',
      fadeOut: after?.law ?? 'amplitude',
    }
  })
}

/** At most half of a stretch, so that the fades at its ends do not meet. */
const shorter = (fadeFrames: number, { startFrame, endFrame }: MovedStretch): number =>
  Math.min(fadeFrames, Math.floor((endFrame - startFrame) / 2))

const middleOf = ({ startFrame, endFrame, shiftSamples }: MovedStretch): number =>
  (startFrame + endFrame) / 2 + shiftSamples

const jointOf = (left: MovedStretch, right: MovedStretch, longest: number): Joint => {
  const first = Math.ceil(Math.max(fileStart(left), fileStart(right), middleOf(left)))
  const last = Math.floor(
    Math.min(
      fileStart(left) + left.laid.fileFrames,
      fileStart(right) + right.laid.fileFrames,
      middleOf(right),
    ),
  )
  const gap = gapBetween(left, right, first, last)
  if (gap !== null) {
    return { ...gap, fadeFrames: Math.min(shorter(longest, left), shorter(longest, right)), law: 'amplitude' }
  }
  const onTop = right.piece >= left.piece ? right : left
  const length = Math.max(0, Math.min(longest, last - first))
  const joint = right.startFrame + Math.round(onTop.shiftSamples)
  const wanted = onTop === right ? joint : joint - length
  const start = Math.min(Math.max(wanted, first), Math.max(first, last - length))
  return { end: start + length, start, fadeFrames: length, law: lawOf(left, right) }
}

// Apart as recorded, or torn apart by their moves where the files only just met.
const gapBetween = (
  left: MovedStretch,
  right: MovedStretch,
  first: number,
  last: number,
): Pick<Joint, 'end' | 'start'> | null => {
  const end = Math.ceil(left.endFrame + left.shiftSamples)
  const start = Math.floor(right.startFrame + right.shiftSamples)
  if (right.startFrame > left.endFrame) return start > end ? { end, start } : null
  return last < first ? { end: last, start: first } : null
}

/** A file that goes on through the joint is one sound; two files, or two stretches of one, are two performances. */
const lawOf = (left: MovedStretch, right: MovedStretch): FadeLaw =>
  left.laid.file === right.laid.file &&
  left.laid.atFrame - left.laid.fromFrame === right.laid.atFrame - right.laid.fromFrame
    ? 'amplitude'
    : 'power'
