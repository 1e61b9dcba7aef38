import type { StemPart } from '../decide/plan.js'
import { applyDelay, type DelayKernel, designDelay } from '../signal/fractional-delay.js'
import { VariableDelay } from '../signal/variable-delay.js'

/**
 * How a part is carried from its own frames to those of the stem. `inputRange` says which frames of the source a stretch of the stem
 * draws on; `apply` makes that stretch of one channel from them. Cutting the stem into other stretches changes no bit.
 */
export interface PartMotion {
  /** Frames of the source beyond the sounding ones that a stretch may draw on. 0 = a plain copy. */
  readonly reachFrames: number
  /** Frame of the source, fractional, that stands at a frame of the stem. */
  sourceFrameAt(stemFrame: number): number
  inputRange(stemFrame: number, frames: number): { readonly start: number; readonly length: number }
  apply(stemFrame: number, input: Float64Array, inputStart: number, output: Float64Array): void
}

/** What the motion of a part hangs on. */
type MovedPart = Pick<StemPart, 'atSamples' | 'recordedAtSamples' | 'follow'>

/** Whole frames: a copy. A fraction: one filter. A shift that is followed through the take: a filter that changes with it. */
export const motionOf = (part: MovedPart, sampleRateHz: number): PartMotion => {
  if (part.follow !== null) return followingMotion(part, part.follow, sampleRateHz)
  const whole = Math.floor(part.atSamples)
  return whole === part.atSamples
    ? copyMotion(whole)
    : fractionalMotion(whole, designDelay(part.atSamples - whole, sampleRateHz))
}

const copyMotion = (atFrame: number): PartMotion => ({
  reachFrames: 0,
  sourceFrameAt: frame => frame - atFrame,
  inputRange: (frame, frames) => ({ start: frame - atFrame, length: frames }),
  apply: (_frame, input, _start, output) => {
    output.set(input.subarray(0, output.length))
  },
})

const fractionalMotion = (whole: number, kernel: DelayKernel): PartMotion => ({
  reachFrames: kernel.halfLength,
  sourceFrameAt: frame => frame - whole - kernel.fraction,
  inputRange: (frame, frames) => ({
    start: frame - whole - kernel.halfLength,
    length: frames + 2 * kernel.halfLength,
  }),
  apply: (_frame, input, _start, output) => {
    applyDelay(kernel, input, output)
  },
})

// Knots stand in the source's own time; the filter wants them at the frames of the stem at which they come to lie.
const followingMotion = (
  part: MovedPart,
  follow: NonNullable<StemPart['follow']>,
  sampleRateHz: number,
): PartMotion => {
  const knots = follow.map(({ atSeconds, shiftSamples }) => {
    const shift = part.recordedAtSamples + shiftSamples
    return { frame: atSeconds * sampleRateHz + shift, shift }
  })
  const delay = new VariableDelay(sampleRateHz, knots)
  return {
    reachFrames: delay.halfLength,
    sourceFrameAt: frame => frame - delay.shiftAt(frame),
    inputRange: (frame, frames) => delay.inputRange(frame, frames),
    apply: (frame, input, start, output) => {
      delay.apply(frame, input, start, output)
    },
  }
}
