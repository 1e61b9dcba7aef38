import * as portable from '../terms/portable.js'

/** Middle of the sorted values; mean of the two middle ones for an even number. NaN for none. The values are left in order. */
export const median = (values: ArrayLike<number>): number => {
  const sorted = Float64Array.from(values).sort()
  const middle = sorted.length >> 1
  if (sorted.length === 0) return Number.NaN
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}

/** Median of the absolute distances to the median. Times 1.4826 it estimates the standard deviation of Gaussian values. */
export const medianAbsoluteDeviation = (values: ArrayLike<number>): number => {
  const middle = median(values)
  return median(Float64Array.from(values, value => Math.abs(value - middle)))
}

/**
 * How many standard errors are as rare as `deviations` of a normal number, where the error was itself estimated with `freedom` degrees of
 * freedom: Student's distribution by the approximation of Wallace (1959, from memory), within 3 % for 3 deviations from 4 degrees on, above it for fewer.
 * Infinite without any freedom.
 */
export const studentLimit = (deviations: number, freedom: number): number => {
  if (!(freedom > 0)) return Number.POSITIVE_INFINITY
  const scaled = (deviations * (8 * freedom + 3)) / (8 * freedom + 1)
  return Math.sqrt(freedom * (portable.exp((scaled * scaled) / freedom) - 1))
}

export interface LeastSquares {
  readonly solution: Float64Array
  /** Inverse of the normal matrix: the solution's covariance where the weights are 1 / variance. Row after row. */
  readonly covariance: readonly Float64Array[]
  /** Sum of the weighted squares of what is left. */
  readonly residual: number
}

/**
 * Solves `rows * solution = values` by weighted least squares, through the normal equations with row pivoting: for a few
 * unknowns. Null where they are not determined (a pivot below 1e-12 of the largest element of the scaled matrix).
 */
export const weightedLeastSquares = (
  rows: readonly ArrayLike<number>[],
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
): LeastSquares | null => {
  const unknowns = rows[0]?.length ?? 0
  const matrix = Array.from({ length: unknowns }, () => new Float64Array(2 * unknowns))
  const right = new Float64Array(unknowns)
  rows.forEach((row, r) => {
    const weight = weights[r]!
    for (let i = 0; i < unknowns; i++) {
      right[i] = right[i]! + weight * row[i]! * values[r]!
      for (let j = 0; j < unknowns; j++) matrix[i]![j] = matrix[i]![j]! + weight * row[i]! * row[j]!
    }
  })
  // Unit diagonal first, so that the pivots can be judged whatever the units of the unknowns.
  const scales = Float64Array.from(matrix, (row, i) => 1 / Math.sqrt(row[i]!))
  if (scales.some(scale => !Number.isFinite(scale))) return null
  for (let i = 0; i < unknowns; i++) {
    for (let j = 0; j < unknowns; j++) matrix[i]![j] = matrix[i]![j]! * scales[i]! * scales[j]!
    matrix[i]![unknowns + i] = 1
  }
  if (!invertInPlace(matrix)) return null
  const covariance = matrix.map((row, i) =>
    Float64Array.from({ length: unknowns }, (_, j) => row[unknowns + j]! * scales[i]! * scales[j]!),
  )
  const solution = Float64Array.from(covariance, row => row.reduce((sum, c, j) => sum + c * right[j]!, 0))
  let residual = 0
  rows.forEach((row, r) => {
    let error = values[r]!
    for (let j = 0; j < unknowns; j++) error -= row[j]! * solution[j]!
    residual += weights[r]! * error * error
  })
  return { solution, covariance, residual }
}

/** Gauss-Jordan on [matrix | identity]; false where a pivot vanishes. */
const invertInPlace = (matrix: Float64Array[]): boolean => {
  const size = matrix.length
  for (let column = 0; column < size; column++) {
    let best = column
    for (let r = column + 1; r < size; r++) {
      if (Math.abs(matrix[r]![column]!) > Math.abs(matrix[best]![column]!)) best = r
    }
    const pivotRow = matrix[best]!
    const pivot = pivotRow[column]!
    if (Math.abs(pivot) < 1e-12) return false
    matrix[best] = matrix[column]!
    matrix[column] = pivotRow
    for (let k = 0; k < 2 * size; k++) pivotRow[k] = pivotRow[k]! / pivot
    for (let r = 0; r < size; r++) {
      const row = matrix[r]!
      const factor = row[column]!
      if (r === column || factor === 0) continue
      for (let k = 0; k < 2 * size; k++) row[k] = row[k]! - factor * pivotRow[k]!
    }
  }
  return true
}
