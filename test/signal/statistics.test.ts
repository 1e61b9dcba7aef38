import { describe, expect, it, test } from 'vitest'
import {
  median,
  medianAbsoluteDeviation,
  studentLimit,
  weightedLeastSquares,
} from '../../src/signal/statistics.js'
import { noise } from './signals.js'

describe('median and deviation', () => {
  it('takes the middle, or the mean of the two middle ones', () => {
    expect(median([3, -1, 10])).toBe(3)
    expect(median([4, 1, 3, 2])).toBe(2.5)
    expect(median([7])).toBe(7)
    expect(median([])).toBeNaN()
    expect(median([100, 20, 3])).toBe(20) // by number, not by letter
    expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1)
  })

  it('leaves the values as they stand', () => {
    const values = Float64Array.of(3, 1, 2)
    median(values)
    expect([...values]).toEqual([3, 1, 2])
  })

  it('estimates the spread of a Gaussian', () => {
    // Sums of 12 uniforms of variance 1/12 have variance 1; relative sigma of the estimate is 1.17 / sqrt(n).
    const parts = noise('gauss', 12 * 20_000)
    const values = Float64Array.from({ length: 20_000 }, (_, i) =>
      parts.subarray(12 * i, 12 * i + 12).reduce((sum, x) => sum + x, 0),
    )
    expect(Math.abs(1.4826 * medianAbsoluteDeviation(values) - 1)).toBeLessThan(
      (5 * 1.17) / Math.sqrt(20_000),
    )
  })
})

// Values of Student's distribution at the two tails of 0.27 %, that are three normal deviations: computed with SciPy's `t.isf(norm.sf(3), n)`.
test.each([
  [4, 6.6202],
  [6, 4.9041],
  [10, 3.9569],
  [20, 3.4222],
  [60, 3.1299],
  [300, 3.0252],
])('three deviations known from %i degrees of freedom are %d errors', (freedom, errors) => {
  expect(Math.abs(studentLimit(3, freedom) / errors - 1)).toBeLessThan(0.03)
})

test('without freedom nothing is clear', () => {
  expect(studentLimit(3, 0)).toBe(Number.POSITIVE_INFINITY)
  expect(studentLimit(3, 1)).toBeGreaterThan(200)
})

describe('weightedLeastSquares', () => {
  // Three lags from three pairs, d12 = 95.3, d13 = 364.0, d23 = 268.8: the first lag is 0, unknown are the other two.
  const rows = [
    [1, 0],
    [0, 1],
    [-1, 1],
  ]
  const values = [95.3, 364, 268.8]

  it('spreads what does not close evenly', () => {
    const { solution, residual } = weightedLeastSquares(rows, values, [1, 1, 1])!
    expect(solution[0]).toBeCloseTo(95.3 - 0.1 / 3, 9)
    expect(solution[1]).toBeCloseTo(364 + 0.1 / 3, 9)
    expect(residual).toBeCloseTo(3 * (0.1 / 3) * (0.1 / 3), 9)
  })

  it('puts it where the doubt is', () => {
    // Correction in proportion to sigma^2: sigma 0.04, 0.1, 0.1.
    const { solution } = weightedLeastSquares(rows, values, [1 / 0.0016, 1 / 0.01, 1 / 0.01])!
    expect(solution[0]).toBeCloseTo(95.29259, 5)
    expect(solution[1]).toBeCloseTo(364.0463, 5)
    expect(solution[1]! - solution[0]!).toBeCloseTo(268.7537, 5)
  })

  it('gives the covariance of a straight line', () => {
    // Variance of the slope: 1 / sum (t - mean t)^2; of the intercept: 1/n + mean^2 / the same.
    const times = [0, 1, 2, 3, 4, 5]
    const { solution, covariance, residual } = weightedLeastSquares(
      times.map(t => [1, t]),
      times.map(t => 2 - 0.5 * t),
      times.map(() => 1),
    )!
    expect(solution[0]).toBeCloseTo(2, 12)
    expect(solution[1]).toBeCloseTo(-0.5, 12)
    expect(covariance[1]![1]).toBeCloseTo(1 / 17.5, 12)
    expect(covariance[0]![0]).toBeCloseTo(1 / 6 + 6.25 / 17.5, 12)
    expect(residual).toBeLessThan(1e-24)
  })

  it('does not care for the units of the unknowns', () => {
    const times = [0, 1e9, 2e9, 3e9]
    const fit = weightedLeastSquares(
      times.map(t => [1, t]),
      times.map(t => 5 + 1e-8 * t),
      times.map(() => 4),
    )
    expect(fit?.solution[1]).toBeCloseTo(1e-8, 18)
  })

  it('says when the unknowns are not determined', () => {
    expect(
      weightedLeastSquares(
        [
          [1, 1],
          [2, 2],
        ],
        [1, 2],
        [1, 1],
      ),
    ).toBeNull()
    expect(weightedLeastSquares([[1, 0]], [1], [1])).toBeNull()
    expect(weightedLeastSquares([[1]], [1], [0])).toBeNull()
  })
})
