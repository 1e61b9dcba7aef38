import { kaiserAt, sinc } from './windows.js'

/**
 * Taps that move a signal later by a fraction of a frame. `taps[i]` is the weight of the frame `halfLength - i - 1` later than
 * the output frame (0 for the frame itself, negative: earlier), so that they run through the input forwards.
 */
export interface DelayKernel {
  /** How much later, frames, 0 ≤ fraction < 1. */
  readonly fraction: number
  /** The output needs this many frames of input before its first and after its last frame. */
  readonly halfLength: number
  /** `2 * halfLength` weights in the order of the input. */
  readonly taps: Float64Array
}

/** Shape of the filter for a sample rate. */
export interface DelayDesign {
  readonly halfLength: number
  readonly beta: number
  /** Up to here the response is within -99 dB of the ideal delay, whatever the fraction. Hz. */
  readonly bandHz: number
}

/**
 * 64 taps where 20 kHz lies at most at 0.41667 of the rate (48 kHz and above; there the band grows with the rate: 40 kHz at
 * 96 kHz), else 96 taps with a band up to 0.45352 of the rate: 20 kHz at 44.1 kHz, 14.5 kHz at 32 kHz, 3.63 kHz at 8 kHz.
 * Betas: fitted for the least error up to the band's edge at the worst fraction, one half; test/outside holds the result.
 */
export const delayDesign = (sampleRateHz: number): DelayDesign =>
  sampleRateHz >= 48000
    ? { halfLength: 32, beta: 16.751, bandHz: (sampleRateHz * 5) / 12 }
    : { halfLength: 48, beta: 14, bandHz: (sampleRateHz * 20000) / 44100 }

/**
 * Windowed sinc with the window centred on the delay, not on the taps (which would cost some 100 dB). A fraction of 0 gives
 * the plain copy, exactly. `fraction`: 0 ≤ fraction < 1, RangeError outside.
 */
export const designDelay = (fraction: number, sampleRateHz: number): DelayKernel => {
  if (!(fraction >= 0 && fraction < 1))
    throw new RangeError(`Delay fraction must be in [0, 1), not ${fraction}`)
  const { halfLength, beta } = delayDesign(sampleRateHz)
  const taps = new Float64Array(2 * halfLength)
  for (let i = 0; i < taps.length; i++) {
    const position = halfLength - i - fraction
    taps[i] = sinc(position) * kaiserAt(position / halfLength, beta)
  }
  return { fraction, halfLength, taps }
}

/**
 * Filters one channel: `output[i]` is the input `fraction` frames before `input[halfLength + i]`.
 *
 * `input` holds `halfLength` frames more than `output` on each side. Every output adds its products in the same order
 * wherever a block begins, so cutting a signal differently changes no bit. `output` must not overlap `input`.
 */
export const applyDelay = (kernel: DelayKernel, input: Float64Array, output: Float64Array): void => {
  const { taps, halfLength } = kernel
  const frames = output.length
  if (input.length < frames + 2 * halfLength) {
    throw new RangeError(
      `Delay of ${frames} frames needs ${frames + 2 * halfLength} of input, got ${input.length}`,
    )
  }
  const count = taps.length
  const whole = frames - (frames % 4)
  for (let i = 0; i < whole; i += 4) {
    let sum0 = 0
    let sum1 = 0
    let sum2 = 0
    let sum3 = 0
    let x0 = input[i]!
    let x1 = input[i + 1]!
    let x2 = input[i + 2]!
    for (let k = 0; k < count; k++) {
      const tap = taps[k]!
      const x3 = input[i + k + 3]!
      sum0 += tap * x0
      sum1 += tap * x1
      sum2 += tap * x2
      sum3 += tap * x3
      x0 = x1
      x1 = x2
      x2 = x3
    }
    output[i] = sum0
    output[i + 1] = sum1
    output[i + 2] = sum2
    output[i + 3] = sum3
  }
  for (let i = whole; i < frames; i++) {
    let sum = 0
    for (let k = 0; k < count; k++) sum += taps[k]! * input[i + k]!
    output[i] = sum
  }
}
