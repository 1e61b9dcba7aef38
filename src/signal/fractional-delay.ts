import { filterFrames } from './fir.js'
import { kaiserAt, sinc } from './windows.js'

/** A filter that moves a signal later by a part of a frame. */
export interface DelayKernel {
  /** How much later, frames, 0 ≤ fraction < 1. */
  readonly fraction: number
  /** The output needs this many frames of input before its first and after its last frame. */
  readonly halfLength: number
  /** `2 * halfLength` weights in the order of the input: `taps[i]` belongs to the input `halfLength - i` frames back. */
  readonly taps: Float64Array
}

/** Shape of the filter at a sample rate. */
export interface DelayDesign {
  readonly halfLength: number
  readonly beta: number
  /** From 0 Hz up to here the response is within -99 dB of the ideal delay, whatever the fraction: level within 0.0001 dB. */
  readonly bandHz: number
}

/**
 * From 48 kHz on: 64 taps, band up to 5/12 of the rate (20 kHz at 48 kHz, 40 kHz at 96 kHz), error at most -153 dB. Below: 96
 * taps, band up to 200/441 of the rate (20 kHz at 44.1 kHz, 14.5 kHz at 32 kHz, 3.6 kHz at 8 kHz), error at most -129 dB.
 * Above its band the filter falls off, for half a frame most: to nothing at half the rate, as any such filter does.
 * The betas give the least error over the band at half a frame, the worst fraction, found by search in steps of 0.25 (96
 * taps) and 0.001 (64 taps).
 */
export const delayDesign = (sampleRateHz: number): DelayDesign =>
  sampleRateHz >= 48000
    ? { halfLength: 32, beta: 16.751, bandHz: (sampleRateHz * 5) / 12 }
    : { halfLength: 48, beta: 14, bandHz: (sampleRateHz * 200) / 441 }

/**
 * Sinc under a Kaiser window that is centred on the delay: centred on the taps instead it would be 90 dB worse. A fraction
 * of 0 gives the plain copy, exactly. RangeError unless 0 ≤ fraction < 1.
 */
export const designDelay = (fraction: number, sampleRateHz: number): DelayKernel => {
  if (!(fraction >= 0 && fraction < 1))
    throw new RangeError(`Delay fraction must be in [0, 1), not ${fraction}`)
  const { halfLength, beta } = delayDesign(sampleRateHz)
  return { fraction, halfLength, taps: delayTaps(fraction, halfLength, beta) }
}

/** The taps alone, `2 * halfLength` of them; 0 ≤ fraction ≤ 1. */
export const delayTaps = (fraction: number, halfLength: number, beta: number): Float64Array =>
  Float64Array.from({ length: 2 * halfLength }, (_, i) => {
    const position = halfLength - i - fraction
    return sinc(position) * kaiserAt(position / halfLength, beta)
  })

/**
 * Moves one channel later: `output[i]` is the signal `fraction` frames before `input[halfLength + i]`.
 *
 * `input` holds `halfLength` frames more than `output` on each side, RangeError if it is shorter. Cutting a signal into
 * other blocks changes no bit. `output` must not overlap `input`.
 */
export const applyDelay = (kernel: DelayKernel, input: Float64Array, output: Float64Array): void => {
  const needed = output.length + 2 * kernel.halfLength
  if (input.length < needed) {
    throw new RangeError(`Delay of ${output.length} frames needs ${needed} of input, got ${input.length}`)
  }
  filterFrames(kernel.taps, input, 0, output, output.length)
}
