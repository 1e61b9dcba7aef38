import type { FadeLaw, FadeWindow } from '../recipe/pieces/fade-window.js'
import * as portable from '../terms/portable.js'

/** Weight of what comes in, at a part of the fade from 0 to 1. What goes out has the weight of 1 minus that part. */
export const fadeWeight = (law: FadeLaw, part: number): number => {
  if (part <= 0) return 0
  if (part >= 1) return 1
  // 6 u^5 - 15 u^4 + 10 u^3: value, slope and curvature are continuous at both ends, so that the fade itself makes no click.
  const smooth = part * part * part * (part * (part * 6 - 15) + 10)
  return law === 'amplitude' ? smooth : portable.sin((Math.PI / 2) * smooth)
}

/** Weighs a block in place: its frame 0 is `firstFrame`. Frames of full weight are not touched; what lies outside the window becomes silence. */
export const applyWindow = (window: FadeWindow, block: readonly Float64Array[], firstFrame: number): void => {
  const { startFrame, endFrame, fadeInFrames, fadeOutFrames } = window
  const frames = block[0]?.length ?? 0
  const within = (frame: number): number => Math.min(frames, Math.max(0, frame - firstFrame))
  const [start, end] = [within(startFrame), within(endFrame)]
  for (const samples of block) {
    samples.fill(0, 0, start)
    samples.fill(0, Math.max(start, end))
  }
  const fadedIn = Math.min(within(startFrame + fadeInFrames), end)
  for (let i = start; i < fadedIn; i++) {
    scale(block, i, fadeWeight(window.fadeIn, (firstFrame + i - startFrame + 0.5) / fadeInFrames))
  }
  for (let i = Math.max(start, within(endFrame - fadeOutFrames)); i < end; i++) {
    scale(block, i, fadeWeight(window.fadeOut, (endFrame - firstFrame - i - 0.5) / fadeOutFrames))
  }
}

const scale = (block: readonly Float64Array[], frame: number, gain: number): void => {
  for (const samples of block) samples[frame] = samples[frame]! * gain
}

/** Where a window fades, frames from start to end. */
export const fadedStretches = ({
  startFrame,
  endFrame,
  fadeInFrames,
  fadeOutFrames,
}: FadeWindow): readonly { readonly start: number; readonly end: number }[] => [
  ...(fadeInFrames > 0 ? [{ start: startFrame, end: startFrame + fadeInFrames }] : []),
  ...(fadeOutFrames > 0 ? [{ start: endFrame - fadeOutFrames, end: endFrame }] : []),
]
