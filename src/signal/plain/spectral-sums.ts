/* Twins of the kernels of spectra.wat: the same additions in the same order. */

export const addPowerPlain = (
  spectrum: Float64Array,
  from: number,
  to: number,
  weight: number,
  sums: Float64Array,
): number => {
  let even = 0
  let odd = 0
  const whole = to - ((to - from) & 1)
  let k = from
  for (; k < whole; k += 2) {
    const aRe = spectrum[2 * k]!
    const aIm = spectrum[2 * k + 1]!
    const bRe = spectrum[2 * k + 2]!
    const bIm = spectrum[2 * k + 3]!
    const a = weight * (aRe * aRe + aIm * aIm)
    const b = weight * (bRe * bRe + bIm * bIm)
    even += a
    odd += b
    sums[k] = sums[k]! + a
    sums[k + 1] = sums[k + 1]! + b
  }
  if (k === to) return even + odd
  const re = spectrum[2 * k]!
  const im = spectrum[2 * k + 1]!
  const last = weight * (re * re + im * im)
  sums[k] = sums[k]! + last
  return even + odd + last
}

export const addCrossPlain = (x: Float64Array, y: Float64Array, sums: Float64Array): void => {
  for (let k = 0; k < sums.length; k += 2) {
    const xRe = x[k]!
    const xIm = x[k + 1]!
    const yRe = y[k]!
    const yIm = y[k + 1]!
    sums[k] = sums[k]! + xRe * yRe + xIm * yIm
    sums[k + 1] = sums[k + 1]! + xRe * yIm + xIm * -yRe
  }
}

export const applyWindowPlain = (
  window: Float64Array,
  samples: Float64Array,
  start: number,
  into: Float64Array,
  count: number,
  results: Float64Array,
): void => {
  let energy0 = 0
  let energy1 = 0
  let energy2 = 0
  let energy3 = 0
  let sum0 = 0
  let sum1 = 0
  let sum2 = 0
  let sum3 = 0
  for (let n = 0; n < count; n += 4) {
    const a = window[n]! * samples[start + n]!
    const b = window[n + 1]! * samples[start + n + 1]!
    const c = window[n + 2]! * samples[start + n + 2]!
    const d = window[n + 3]! * samples[start + n + 3]!
    into[n] = a
    into[n + 1] = b
    into[n + 2] = c
    into[n + 3] = d
    energy0 += a * a
    energy1 += b * b
    energy2 += c * c
    energy3 += d * d
    sum0 += a
    sum1 += b
    sum2 += c
    sum3 += d
  }
  results[0] = energy0 + energy2 + (energy1 + energy3)
  results[1] = sum0 + sum2 + (sum1 + sum3)
}

export const takeMeanOffPlain = (frame: Float64Array, window: Float64Array, mean: number): void => {
  for (let n = 0; n < window.length; n++) frame[n] = frame[n]! - mean * window[n]!
}

export const moveIntoPlain = (total: Float64Array, part: Float64Array): void => {
  for (let k = 0; k < total.length; k++) total[k] = total[k]! + part[k]!
  part.fill(0)
}
