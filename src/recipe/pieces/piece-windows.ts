import type { FadeWindow } from './fade-window.js'
import { fileStart, type MovedStretch, windowsOf } from './joints.js'
import { heardStretches, type PieceLayout } from './piece-layout.js'

/** A stretch of a laid recording in which one file sounds, as recorded. */
export interface PieceWindow extends FadeWindow {
  readonly file: string
  /** Where frame 0 of the file lies, may be negative. */
  readonly atFrame: number
}

/** What is done to a recording from a frame of its own time on, until the next one begins. **Positive shift = moved later.** */
export interface StretchMove {
  readonly fromFrame: number
  readonly shiftSamples: number
  readonly polarity: 'normal' | 'inverted'
}

/** Pieces in a row that are moved alike, with the cross-fades among them: one sound, which is moved as a whole. */
export interface MovedRun extends FadeWindow {
  readonly shiftSamples: number
  readonly polarity: 'normal' | 'inverted'
  /** What sounds in it as recorded: at its ends the files go on beyond the window, so that a filter or a fade may draw on them. */
  readonly windows: readonly PieceWindow[]
}

/** The windows of a laid recording as recorded, in the order of time. */
export const pieceWindows = (layout: PieceLayout): readonly PieceWindow[] =>
  windowsAsRecorded(movedStretches(layout, STILL), layout.fadeFrames)

/**
 * A laid recording with its pieces moved, as runs in the order of time. They overlap by cross-fades, which lie on the timeline of the
 * moved sound.
 * @param moves In the order of time; the first holds from the beginning.
 */
export const movedRuns = (layout: PieceLayout, moves: readonly StretchMove[]): readonly MovedRun[] => {
  const runs: [MovedStretch, ...MovedStretch[]][] = []
  for (const stretch of movedStretches(layout, moves)) {
    const run = runs.at(-1)
    if (run !== undefined && isMovedAlike(run[0], stretch)) run.push(stretch)
    else runs.push([stretch])
  }
  const windows = windowsOf(
    runs.map(run => ({ first: run[0], last: run.at(-1)! })),
    layout.fadeFrames,
  )
  return runs.map((run, i) => ({
    ...windows[i]!,
    shiftSamples: run[0].shiftSamples,
    polarity: run[0].polarity,
    windows: unbounded(windowsAsRecorded(run, layout.fadeFrames), run.at(-1)!.laid.fileFrames, {
      start: i > 0 || run[0].laid.fromFrame > 0,
      end: i < runs.length - 1 || isCutAtEnd(run.at(-1)!),
    }),
  }))
}

const STILL: readonly StretchMove[] = [{ fromFrame: 0, shiftSamples: 0, polarity: 'normal' }]

const movedStretches = (layout: PieceLayout, moves: readonly StretchMove[]): readonly MovedStretch[] => {
  const found: MovedStretch[] = []
  for (const { piece, startFrame, endFrame } of heardStretches(layout)) {
    moves.forEach(({ fromFrame, shiftSamples, polarity }, i) => {
      const start = i === 0 ? startFrame : Math.max(startFrame, fromFrame)
      const end = Math.min(endFrame, moves[i + 1]?.fromFrame ?? Infinity)
      if (end <= start) return
      const own: MovedStretch = {
        ...{ piece, laid: layout.pieces[piece]!, startFrame: start, endFrame: end },
        ...{ shiftSamples, polarity },
      }
      const last = found.at(-1)
      const goesOn = last?.piece === piece && last.endFrame === start && isMovedAlike(last, own)
      if (goesOn) found[found.length - 1] = { ...last, endFrame: end }
      else found.push(own)
    })
  }
  return found
}

const isMovedAlike = (a: MovedStretch, b: MovedStretch): boolean =>
  a.shiftSamples === b.shiftSamples && a.polarity === b.polarity

const isCutAtEnd = ({ laid }: MovedStretch): boolean => laid.toFrame < laid.fileFrames

const windowsAsRecorded = (
  stretches: readonly MovedStretch[],
  fadeFrames: number,
): readonly PieceWindow[] => {
  const still = stretches.map(stretch => ({ ...stretch, shiftSamples: 0 }))
  return windowsOf(
    still.map(stretch => ({ first: stretch, last: stretch })),
    fadeFrames,
  ).map((window, i) => ({ ...window, file: still[i]!.laid.file, atFrame: fileStart(still[i]!) }))
}

/** The same with the first and the last file going on to their own ends: the run's own window fades them. */
const unbounded = (
  windows: readonly PieceWindow[],
  lastFileFrames: number,
  isFaded: { readonly start: boolean; readonly end: boolean },
): readonly PieceWindow[] =>
  windows.map((window, i) => ({
    ...window,
    ...(i === 0 && isFaded.start ? { startFrame: window.atFrame, fadeInFrames: 0 } : {}),
    ...(i === windows.length - 1 && isFaded.end
      ? { endFrame: window.atFrame + lastFileFrames, fadeOutFrames: 0 }
      : {}),
  }))
