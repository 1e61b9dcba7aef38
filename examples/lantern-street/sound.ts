import { seededRandom } from '../../src/signal/dither.js'
import * as portable from '../../src/terms/portable.js'

/** Small tools of the demo's sound: biquads after the usual bilinear forms, seeded noise, adding one sound into another. */

export const RATE = 48_000

export type Biquad = readonly [b0: number, b1: number, b2: number, a1: number, a2: number]

const prewarp = (hz: number, q: number) => {
  const w = (2 * Math.PI * hz) / RATE
  return { cos: portable.cos(w), alpha: portable.sin(w) / (2 * q) }
}

/** A resonance that adds `gainDb` at `hz`: peaking section. */
export const peak = (hz: number, q: number, gainDb: number): Biquad => {
  const { cos, alpha } = prewarp(hz, q)
  const a = portable.exp((gainDb * Math.LN10) / 40)
  const norm = 1 + alpha / a
  return [
    (1 + alpha * a) / norm,
    (-2 * cos) / norm,
    (1 - alpha * a) / norm,
    (-2 * cos) / norm,
    (1 - alpha / a) / norm,
  ]
}

export const highPass = (hz: number, q = Math.SQRT1_2): Biquad => {
  const { cos, alpha } = prewarp(hz, q)
  const norm = 1 + alpha
  return [
    (1 + cos) / 2 / norm,
    -(1 + cos) / norm,
    (1 + cos) / 2 / norm,
    (-2 * cos) / norm,
    (1 - alpha) / norm,
  ]
}

export const lowPass = (hz: number, q = Math.SQRT1_2): Biquad => {
  const { cos, alpha } = prewarp(hz, q)
  const norm = 1 + alpha
  return [(1 - cos) / 2 / norm, (1 - cos) / norm, (1 - cos) / 2 / norm, (-2 * cos) / norm, (1 - alpha) / norm]
}

export const bandPass = (hz: number, q: number): Biquad => {
  const { cos, alpha } = prewarp(hz, q)
  const norm = 1 + alpha
  return [alpha / norm, 0, -alpha / norm, (-2 * cos) / norm, (1 - alpha) / norm]
}

/** A copy of the sound through the sections, one after the other. */
export const through = (sound: Float64Array, sections: readonly Biquad[]): Float64Array => {
  const out = Float64Array.from(sound)
  for (const [b0, b1, b2, a1, a2] of sections) {
    let s1 = 0
    let s2 = 0
    for (let n = 0; n < out.length; n++) {
      const x = out[n]!
      const y = b0 * x + s1
      s1 = b1 * x - a1 * y + s2
      s2 = b2 * x - a2 * y
      out[n] = y
    }
  }
  return out
}

/** White Gaussian-like noise (sum of four uniforms), rms 1. */
export const noise = (frames: number, seed: string): Float64Array => {
  const random = seededRandom(seed)
  const scale = Math.sqrt(3)
  return Float64Array.from({ length: frames }, () => (random() + random() + random() + random() - 2) * scale)
}

export const addInto = (target: Float64Array, sound: Float64Array, gain: number, atFrame = 0): void => {
  const end = Math.min(target.length, atFrame + sound.length)
  for (let n = Math.max(0, atFrame); n < end; n++) target[n]! += gain * sound[n - atFrame]!
}

export const peakOf = (sound: Float64Array): number => sound.reduce((top, x) => Math.max(top, Math.abs(x)), 0)

/** Brings the sound's peak to `peakDbfs`, in place. */
export const normalise = (sound: Float64Array, peakDbfs: number): void => {
  const gain = portable.exp((peakDbfs * Math.LN10) / 20) / peakOf(sound)
  for (let n = 0; n < sound.length; n++) sound[n]! *= gain
}
