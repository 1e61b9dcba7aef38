import * as portable from '../terms/portable.js'

/**
 * Hann window for spectra, `0.5 - 0.5 cos(2 pi n / length)`: the periodic form, whose copies a third, a quarter, … of the
 * length apart add up evenly, squared too. `length` at least 1.
 */
export const hann = (length: number): Float64Array => {
  let window = kept.get(length)
  if (window === undefined) {
    window = Float64Array.from({ length }, (_, n) => 0.5 - 0.5 * portable.cos((2 * Math.PI * n) / length))
    if (kept.size === KEPT_MOST) kept.clear()
    kept.set(length, window)
  }
  return window.slice()
}

// A measuring asks for the same few again and again.
const kept = new Map<number, Float64Array>()
const KEPT_MOST = 4

/**
 * Modified Bessel function of the first kind and order 0, by its power series: every term is positive, so the sum is right to
 * a few units in the last place. `x` of 0 to about 700.
 */
export const besselI0 = (x: number): number => {
  const quarter = (x * x) / 4
  let term = 1
  let sum = 1
  for (let k = 1; term > sum * 1e-18; k++) {
    term *= quarter / (k * k)
    sum += term
  }
  return sum
}

/** Kaiser window at `position` -1 … 1 (0 outside): 1 in the middle. A larger `beta` trades width of transition for attenuation. */
export const kaiserAt = (position: number, beta: number): number => {
  const inside = 1 - position * position
  return inside < 0 ? 0 : besselI0(beta * Math.sqrt(inside)) / besselI0(beta)
}

/** Kaiser window of `length` points, ends included (symmetric): for filters. */
export const kaiser = (length: number, beta: number): Float64Array =>
  Float64Array.from({ length }, (_, n) => (length === 1 ? 1 : kaiserAt((2 * n) / (length - 1) - 1, beta)))

/** sin(pi x) / (pi x); exactly 1 at 0 and exactly 0 at every other whole number. */
export const sinc = (x: number): number => {
  if (Number.isInteger(x)) return x === 0 ? 1 : 0
  return portable.sin(Math.PI * x) / (Math.PI * x)
}
