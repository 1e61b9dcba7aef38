/* Twins of the kernels of single-sums.wat: the same operations in the same order. `apart`: from a real part to its imaginary part. */

const f = Math.fround

/** Twin of the kernel `singleWindow`: windows a frame, rounded to single precision, and sums its energy and mean in four lanes. */
export const singleWindowPlain = (
  window: Float64Array,
  samples: Float64Array,
  start: number,
  into: Float32Array,
  apart: number,
  count: number,
  results: Float64Array,
): void => {
  const energy = [0, 0, 0, 0]
  const sum = [0, 0, 0, 0]
  for (let n = 0; n < count; n++) {
    const value = window[n]! * samples[start + n]!
    into[(n >> 1) + (n & 1) * apart] = value
    energy[n & 3]! += value * value
    sum[n & 3]! += value
  }
  results[0] = energy[0]! + energy[2]! + (energy[1]! + energy[3]!)
  results[1] = sum[0]! + sum[2]! + (sum[1]! + sum[3]!)
}

/** Twin of the kernel `singleMeanOff`: takes the windowed mean off a frame in place. */
export const singleMeanOffPlain = (
  frame: Float32Array,
  window: Float32Array,
  from: number,
  count: number,
  mean: number,
): void => {
  for (let n = from; n < from + count; n++) frame[n] = f(frame[n]! - f(mean * window[n]!))
}

/** Twin of the kernel `singlePower`: adds the weighted power of bins to sums; gives their energy. */
export const singlePowerPlain = (
  x: Float32Array,
  apart: number,
  from: number,
  to: number,
  weight: number,
  sums: Float64Array,
): number => {
  let energy0 = 0
  let energy1 = 0
  let energy2 = 0
  let energy3 = 0
  const at = (k: number): number => {
    const value = weight * f(f(x[k]! * x[k]!) + f(x[apart + k]! * x[apart + k]!))
    sums[k] = sums[k]! + value
    return value
  }
  const whole = to - ((to - from) & 3)
  for (let k = from; k < whole; k += 4) {
    energy0 += at(k)
    energy1 += at(k + 1)
    energy2 += at(k + 2)
    energy3 += at(k + 3)
  }
  let energy = energy0 + energy2 + (energy1 + energy3)
  for (let k = whole; k < to; k++) energy += at(k)
  return energy
}

/** Four frames, `stride` numbers apart in `x` and `y`, for the bins `from … to - 1`. */
export const singleCross4Plain = (
  x: Float32Array,
  y: Float32Array,
  stride: number,
  apart: number,
  sums: Float64Array,
  from: number,
  to: number,
): void => {
  for (let k = from; k < to; k++) {
    let re = 0
    let im = 0
    for (let at = k; at < k + 4 * stride; at += stride) {
      const xr = x[at]!
      const xi = x[at + apart]!
      const yr = y[at]!
      const yi = y[at + apart]!
      const more = f(f(xr * yr) + f(xi * yi))
      const moreIm = f(f(xr * yi) - f(xi * yr))
      re = at === k ? more : f(re + more)
      im = at === k ? moreIm : f(im + moreIm)
    }
    sums[k] = sums[k]! + re
    sums[k + apart] = sums[k + apart]! + im
  }
}

/** Twin of the kernel `moveInto`: adds a part to a total and leaves it empty. */
export const moveIntoPlain = (total: Float64Array, part: Float64Array): void => {
  for (let k = 0; k < total.length; k++) total[k] = total[k]! + part[k]!
  part.fill(0)
}
