/** One value of what should be the same each time, with its standard error. */
export interface Reading {
  readonly value: number
  readonly error: number
}

/** Several readings as one. */
export interface Combined {
  readonly value: number
  readonly error: number
  /** Standard deviation of what the readings differ by beside their errors, 0 where these explain it. */
  readonly scatter: number
}

const sum = (values: readonly number[]): number => values.reduce((all, value) => all + value, 0)

/** Mean weighted by one over the square of the errors, with its error and the sum of the weighted squares of what is left. */
export const weightedMean = (readings: readonly Reading[]) => {
  const weights = readings.map(({ error }) => 1 / (error * error))
  const all = sum(weights)
  const value = sum(readings.map((reading, i) => weights[i]! * reading.value)) / all
  const chiSquare = sum(readings.map((reading, i) => weights[i]! * (reading.value - value) ** 2))
  return { value, error: 1 / Math.sqrt(all), chiSquare, weights }
}

/** Student's t that 84.13 % stay under, as one standard deviation of a normal number: `1 + 1/(2k) + 1/(4k²)` (Abramowitz & Stegun 26.7.5; from memory). */
const studentOne = (degreesOfFreedom: number): number =>
  1 + 0.5 / degreesOfFreedom + 0.25 / (degreesOfFreedom * degreesOfFreedom)

/**
 * Readings with a scatter of their own beside their errors. The scatter by the method of moments from Cochran's Q,
 * `(Q - (n - 1)) / (Σw - Σw² / Σw)` and not under 0, then the mean with weights `1 / (error² + scatter²)`
 * (DerSimonian & Laird 1986, Controlled Clinical Trials 7, 177–188; from memory). A few readings that happen to lie close together do not
 * know their scatter: the error is that of these weights, or that of what is left, with Student's t for their number, where that is
 * larger (Hartung & Knapp 2001, Statistics in Medicine 20, 3875–3889; from memory). For two readings or more.
 */
export const combined = (readings: readonly Reading[]): Combined => {
  const { chiSquare, weights } = weightedMean(readings)
  const spareReadings = readings.length - 1
  const all = sum(weights)
  const spare = all - sum(weights.map(weight => weight * weight)) / all
  const variance = Math.max(0, (chiSquare - spareReadings) / spare)
  const mean = weightedMean(
    readings.map(reading => ({ ...reading, error: Math.sqrt(reading.error ** 2 + variance) })),
  )
  const seen = studentOne(spareReadings) * Math.sqrt(mean.chiSquare / spareReadings)
  return { value: mean.value, error: mean.error * Math.max(1, seen), scatter: Math.sqrt(variance) }
}

/** Of readings that agree, one of a thousand sets is taken for one that does not: this many standard deviations, one-sided. */
const NORMAL_QUANTILE = 3.0902

/**
 * The value that chi square with so many degrees of freedom stays under in 999 of 1,000 cases, or up to 3.1 % more:
 * `k (1 - 2/(9k) + z √(2/(9k)))³` (Wilson & Hilferty 1931, PNAS 17, 684–688; from memory).
 */
export const chiSquareLimit = (degreesOfFreedom: number): number => {
  const part = 2 / (9 * degreesOfFreedom)
  const root = 1 - part + NORMAL_QUANTILE * Math.sqrt(part)
  return degreesOfFreedom * root * root * root
}

/**
 * Leaves out readings until the rest agree by Cochran's Q test of homogeneity (Cochran 1954, Biometrics 10, 101–129; from memory): each time
 * the one that is farthest from what the others say, in standard errors. Returns the places of those that agree, in their order; none where
 * not more than half of all do.
 */
export const agreeing = (readings: readonly Reading[]): readonly number[] => {
  let kept = readings.map((_, i) => i)
  while (kept.length > 1) {
    const chosen = kept.map(i => readings[i]!)
    if (weightedMean(chosen).chiSquare <= chiSquareLimit(kept.length - 1)) break
    const far = chosen.map((reading, i) => {
      const others = weightedMean(chosen.filter((_, j) => j !== i))
      return Math.abs(reading.value - others.value) / Math.sqrt(reading.error ** 2 + others.error ** 2)
    })
    const farthest = far.indexOf(Math.max(...far))
    kept = kept.filter((_, i) => i !== farthest)
  }
  return 2 * kept.length > readings.length && kept.length > 1 ? kept : []
}
