/**
 * Running mean over `2 * half + 1` bins whose width may change from bin to bin; cut at both ends. `stride` 2 smooths
 * interleaved complex numbers.
 */
export const runningMean = (values: Float64Array, half: Int32Array, stride: 1 | 2 = 1): Float64Array => {
  const bins = half.length
  const out = new Float64Array(values.length)
  for (let part = 0; part < stride; part++) {
    const sums = new Float64Array(bins + 1)
    for (let k = 0; k < bins; k++) sums[k + 1] = sums[k]! + values[stride * k + part]!
    for (let k = 0; k < bins; k++) {
      const from = Math.max(0, k - half[k]!)
      const to = Math.min(bins, k + half[k]! + 1)
      out[stride * k + part] = (sums[to]! - sums[from]!) / (to - from)
    }
  }
  return out
}
