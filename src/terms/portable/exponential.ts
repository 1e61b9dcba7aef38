import { exponentOf, partOf, powerOfTwo } from './words.js'

/** ln 2 in two pieces; whole multiples of the first, up to 2^20 of them, are exact. */
const LN2_HIGH = 0.6931471803691238
const LN2_LOW = 1.9082149292705877e-10

/** e^x: 0 below and infinity above what a double holds. */
export const exp = (x: number): number => {
  if (!(x < 709.79)) return Number.isNaN(x) ? Number.NaN : Number.POSITIVE_INFINITY
  if (x < -745.2) return 0
  const twos = Math.floor(x * Math.LOG2E + 0.5)
  const high = x - twos * LN2_HIGH
  const low = twos * LN2_LOW
  const r = high - low
  // Taylor's series to r^14 / 14!; |r| is at most half of ln 2, and what is left out below 4e-18.
  const series =
    1 / 2 +
    r *
      (1 / 6 +
        r *
          (1 / 24 +
            r *
              (1 / 120 +
                r *
                  (1 / 720 +
                    r *
                      (1 / 5040 +
                        r *
                          (1 / 40320 +
                            r *
                              (1 / 362880 +
                                r *
                                  (1 / 3628800 +
                                    r *
                                      (1 / 39916800 +
                                        r * (1 / 479001600 + r * (1 / 6227020800 + r / 87178291200)))))))))))
  const value = 1 + (r + (high - r - low + r * r * series))
  if (twos > -1022 && twos < 1024) return value * powerOfTwo(twos)
  const half = twos >> 1
  return value * powerOfTwo(half) * powerOfTwo(twos - half)
}

// ln of a part from sqrt(1/2) to sqrt(2), by 2 artanh(s) with s = f / (2 + f): s is at most 0.172.
const logOfPart = (part: number): number => {
  const f = part - 1
  const s = f / (2 + f)
  const z = s * s
  const series =
    2 / 3 +
    z *
      (2 / 5 +
        z *
          (2 / 7 +
            z *
              (2 / 9 +
                z *
                  (2 / 11 +
                    z *
                      (2 / 13 +
                        z *
                          (2 / 15 +
                            z * (2 / 17 + z * (2 / 19 + z * (2 / 21 + z * (2 / 23 + z * (2 / 25)))))))))))
  const square = 0.5 * f * f
  return f - (square - s * (square + z * series))
}

// 0 gives minus infinity; below 0, NaN; infinity stays.
const outside = (x: number): number =>
  x === 0 ? Number.NEGATIVE_INFINITY : x === Number.POSITIVE_INFINITY ? x : Number.NaN

/** Natural logarithm: minus infinity for 0, NaN below. */
export const log = (x: number): number => {
  if (!(x > 0 && x < Number.POSITIVE_INFINITY)) return outside(x)
  const exponent = exponentOf(x)
  return exponent * LN2_HIGH + (logOfPart(partOf(x, exponent)) + exponent * LN2_LOW)
}

/** Logarithm to base 2, exact for powers of two. */
export const log2 = (x: number): number => {
  if (!(x > 0 && x < Number.POSITIVE_INFINITY)) return outside(x)
  const exponent = exponentOf(x)
  return exponent + logOfPart(partOf(x, exponent)) * Math.LOG2E
}

/** Logarithm to base 10. */
export const log10 = (x: number): number => log(x) * Math.LOG10E
