import * as portable from '../terms/portable.js'
/** One second-order section: `y = (b0 + b1 z^-1 + b2 z^-2) / (1 + a1 z^-1 + a2 z^-2) x`. */
export interface Biquad {
  readonly b0: number
  readonly b1: number
  readonly b2: number
  readonly a1: number
  readonly a2: number
}

// ITU-R BS.1770-4/-5, annex 1, tables 1 and 2: the two sections at 48 kHz.
const SHELF_48K: Biquad = {
  b0: 1.53512485958697,
  b1: -2.69169618940638,
  b2: 1.19839281085285,
  a1: -1.69065929318241,
  a2: 0.73248077421585,
}
const HIGH_PASS_48K: Biquad = { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 }

/**
 * The same analogue filter at another rate. The bilinear transform, z^-1 = (1 - s) / (1 + s), is undone, s is scaled so that
 * the section's own corner lands on the same Hz, and the transform is done again.
 */
const atRate = (section: Biquad, sampleRateHz: number): Biquad => {
  const { b0, b1, b2, a1, a2 } = section
  const corner48 = Math.sqrt((1 + a1 + a2) / (1 - a1 + a2)) // tan(pi f / 48000)
  const ratio = portable.tan((portable.atan(corner48) * 48000) / sampleRateHz) / corner48
  const analogue = (p0: number, p1: number, p2: number): readonly [number, number, number] => [
    p0 + p1 + p2,
    (2 * (p0 - p2)) / ratio,
    (p0 - p1 + p2) / (ratio * ratio),
  ]
  const [n0, n1, n2] = analogue(b0, b1, b2)
  const [d0, d1, d2] = analogue(1, a1, a2)
  const scale = 1 / (d0 + d1 + d2)
  return {
    b0: (n0 + n1 + n2) * scale,
    b1: 2 * (n0 - n2) * scale,
    b2: (n0 - n1 + n2) * scale,
    a1: 2 * (d0 - d2) * scale,
    a2: (d0 - d1 + d2) * scale,
  }
}

/**
 * K-weighting of BS.1770 at any rate of 8 kHz and more: the head's shelf, then the high-pass. At 48 kHz the printed numbers; from
 * 32 kHz on within 0.02 dB of them up to 10 kHz; at 8 kHz the shelf is squeezed and reads 0.2 dB low at 1 kHz.
 */
export const kWeighting = (sampleRateHz: number): { readonly shelf: Biquad; readonly highPass: Biquad } =>
  sampleRateHz === 48000
    ? { shelf: SHELF_48K, highPass: HIGH_PASS_48K }
    : { shelf: atRate(SHELF_48K, sampleRateHz), highPass: atRate(HIGH_PASS_48K, sampleRateHz) }
