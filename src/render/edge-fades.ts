import type { SourceReader } from '../wave/source-reader.js'

/** A moved file that begins or ends louder than this gets a fade there, and only there. -60 dBFS. */
const AUDIBLE_EDGE = 0.001
/** Looked at on each edge: long enough to see a low note that begins at its zero crossing, short enough to leave an attack alone. */
const EDGE_SECONDS = 0.001
const FADE_SECONDS = 0.005

/** What is heard of a source, in its own frames, and where it is faded. */
export interface EdgeFades {
  /** First frame that is heard, and the one after the last. */
  readonly startFrame: number
  readonly endFrame: number
  /** Length of a fade, frames. */
  readonly fadeFrames: number
  readonly fadesIn: boolean
  readonly fadesOut: boolean
}

/**
 * Looks at the edges of what is heard of a moved source. Frames outside are not touched where there is no fade: a filter may then draw on
 * them, as it should.
 */
export const edgeFadesOf = (source: SourceReader, startFrame: number, endFrame: number): EdgeFades => {
  const { sampleRateHz } = source.facts
  const heard = Math.max(0, endFrame - startFrame)
  const looked = Math.min(heard, Math.max(1, Math.round(EDGE_SECONDS * sampleRateHz)))
  return {
    startFrame,
    endFrame,
    fadeFrames: Math.min(heard, Math.max(1, Math.round(FADE_SECONDS * sampleRateHz))),
    fadesIn: peakIn(source, startFrame, looked) > AUDIBLE_EDGE,
    fadesOut: peakIn(source, endFrame - looked, looked) > AUDIBLE_EDGE,
  }
}

const peakIn = (source: SourceReader, startFrame: number, frames: number): number => {
  const block = Array.from({ length: source.channels }, () => new Float64Array(frames))
  source.read(startFrame, block)
  let peak = 0
  for (const samples of block) for (const sample of samples) peak = Math.max(peak, Math.abs(sample))
  return peak
}

/** Fades frames of the source in place; `block[c][0]` is its frame `firstFrame`. What lies outside a faded edge becomes silence. */
export const applyFades = (fades: EdgeFades, block: readonly Float64Array[], firstFrame: number): void => {
  const frames = block[0]?.length ?? 0
  if (fades.fadesIn) {
    const end = Math.min(frames, fades.startFrame + fades.fadeFrames - firstFrame)
    for (let i = 0; i < end; i++)
      scale(block, i, fadeGain((firstFrame + i - fades.startFrame) / fades.fadeFrames))
  }
  if (fades.fadesOut) {
    const start = Math.max(0, fades.endFrame - fades.fadeFrames - firstFrame)
    for (let i = start; i < frames; i++) {
      scale(block, i, fadeGain((fades.endFrame - 1 - firstFrame - i) / fades.fadeFrames))
    }
  }
}

const scale = (block: readonly Float64Array[], frame: number, gain: number): void => {
  for (const samples of block) samples[frame] = samples[frame]! * gain
}

/** Smooth step 3 u^2 - 2 u^3: no corner at either end, and plain arithmetic only. 0 before the edge, 1 after the fade. */
const fadeGain = (u: number): number => (u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u))
