/** Twins of src/signal/kernel/level.wat: the same operations in the same order. */

/** See `LevelMeter`. */
export const levelsPlain = (samples: Float64Array, start: number, end: number, sums: Float64Array): void => {
  let sum = sums[0]!
  let squares = sums[1]!
  let stretchSum = sums[2]!
  let stretchSquares = sums[3]!
  let highest = sums[4]!
  let lowest = sums[5]!
  for (let i = start; i < end; i++) {
    const x = samples[i]!
    const square = x * x
    sum += x
    squares += square
    stretchSum += x
    stretchSquares += square
    if (x > highest) highest = x
    if (x < lowest) lowest = x
  }
  sums[0] = sum
  sums[1] = squares
  sums[2] = stretchSum
  sums[3] = stretchSquares
  sums[4] = highest
  sums[5] = lowest
}

/** Largest absolute value, 0 for none. */
export const largestOf = (samples: Float64Array, start: number, end: number): number => {
  let largest = 0
  for (let i = start; i < end; i++) {
    const size = Math.abs(samples[i]!)
    if (size > largest) largest = size
  }
  return largest
}

/** First index from `start` on at which a sample equals the one before; `end` where none does. */
export const firstEqualPlain = (samples: Float64Array, start: number, end: number): number => {
  for (let i = start; i < end; i++) if (samples[i] === samples[i - 1]) return i
  return end
}

/** First index from `start` on of a sample that is 0; `end` where none is. */
export const firstZeroPlain = (samples: Float64Array, start: number, end: number): number => {
  for (let i = start; i < end; i++) if (samples[i] === 0) return i
  return end
}
