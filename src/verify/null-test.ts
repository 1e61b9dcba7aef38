import { interrupted } from '../terms/interrupted.js'
import type { Task } from '../terms/task.js'
import { openWave } from '../wave/wave-file.js'

/** One stem inside a blend. */
export interface NullPart {
  readonly file: string
  /** What the stem has to be multiplied by. */
  readonly gain: number
  /** Largest error that writing it can have left on one of its samples. */
  readonly error: number
}

export interface NullInput {
  readonly blend: Omit<NullPart, 'gain'>
  readonly parts: readonly NullPart[]
}

export interface NullResult {
  /** Peak of what is left, full scale 1. */
  readonly left: number
  /** What rounding and dither can leave at most. */
  readonly allowed: number
}

const BLOCK_FRAMES = 16384
/** Doubles round as well: relative to the peak of what is added. */
const ARITHMETIC = 1e-14

/**
 * Takes the single stems away from the blend that was made of them. A mono part goes to every channel. All files begin together; frames that
 * one of them lacks count as silence.
 * @throws SumwellError WAVE_…, INTERRUPTED
 */
export const nullTest: Task<NullInput, NullResult> = ({ blend, parts }, context) => {
  const opened = [blend, ...parts].map(({ file }) => openWave(file))
  try {
    const [whole, ...pieces] = opened
    const { frames, channels, sampleRateHz } = whole!.facts
    const buffers = opened.map(({ facts }) =>
      Array.from({ length: facts.channels }, () => new Float64Array(BLOCK_FRAMES)),
    )
    let left = 0
    for (let start = 0; start < frames; start += BLOCK_FRAMES) {
      if (context.aborted) throw interrupted()
      opened.forEach((file, i) => {
        file.read(start, buffers[i]!)
      })
      for (let channel = 0; channel < channels; channel++) {
        const rest = buffers[0]![channel]!
        pieces.forEach((_, i) => {
          const piece = buffers[i + 1]!
          subtract(rest, piece[piece.length === 1 ? 0 : channel], parts[i]!.gain)
        })
        for (const value of rest) left = Math.max(left, Math.abs(value))
      }
      context.advance((opened.length * Math.min(BLOCK_FRAMES, frames - start)) / sampleRateHz)
    }
    const allowed = parts.reduce(
      (sum, { gain, error }) => sum + Math.abs(gain) * (error + ARITHMETIC),
      blend.error,
    )
    return { left, allowed: allowed + ARITHMETIC }
  } finally {
    for (const file of opened) file.close()
  }
}

const subtract = (rest: Float64Array, piece: Float64Array | undefined, gain: number): void => {
  if (piece === undefined) return
  for (let i = 0; i < rest.length; i++) rest[i] = rest[i]! - gain * piece[i]!
}
