/** Pi / 2 in pieces of 26 bits, so that up to 2^26 quarter turns times a piece are exact. */
const QUARTER = [
  1.5707963109016418, 1.5893254712295857e-8, 6.123233932053594e-17, 6.36831716351095e-25,
] as const
const QUARTERS_PER_RADIAN = 2 / Math.PI
/** Beyond this many radians a phase has lost its last digits long before it comes here. */
const MOST_RADIANS = 2 ** 26

// Taylor's series; the first terms left out are below 1e-19 of the result up to a quarter of pi.
const sineOf = (rest: number, tail: number): number => {
  const z = rest * rest
  const series =
    -1 / 6 +
    z *
      (1 / 120 +
        z *
          (-1 / 5040 +
            z *
              (1 / 362880 +
                z *
                  (-1 / 39916800 +
                    z * (1 / 6227020800 + z * (-1 / 1307674368000 + z * (1 / 355687428096000)))))))
  return rest + (rest * z * series + tail * (1 - 0.5 * z))
}

const cosineOf = (rest: number, tail: number): number => {
  const z = rest * rest
  const series =
    1 / 24 +
    z *
      (-1 / 720 +
        z *
          (1 / 40320 +
            z *
              (-1 / 3628800 +
                z *
                  (1 / 479001600 +
                    z * (-1 / 87178291200 + z * (1 / 20922789888000 + z * (-1 / 6402373705728000)))))))
  const half = 0.5 * z
  const most = 1 - half
  return most + (1 - most - half + (z * z * series - rest * tail))
}

/** Sine of an angle and so many quarter turns more. What is left without whole quarters is kept in two doubles. */
const sineAfter = (x: number, quartersMore: number): number => {
  const angle = Math.abs(x) < MOST_RADIANS ? x : x % (2 * Math.PI)
  const quarters = Math.floor(angle * QUARTERS_PER_RADIAN + 0.5)
  const first = angle - quarters * QUARTER[0]
  const second = quarters * QUARTER[1]
  const sum = first - second
  const back = sum - first
  const lost = first - (sum - back) - (second + back)
  const small = lost - quarters * QUARTER[2] - quarters * QUARTER[3]
  const rest = sum + small
  const tail = sum - rest + small
  const quarter = (quarters + quartersMore) & 3
  const value = (quarter & 1) === 0 ? sineOf(rest, tail) : cosineOf(rest, tail)
  return (quarter & 2) === 0 ? value : -value
}

/** Sine of an angle in radians; NaN for what is not finite. */
export const sin = (x: number): number => (x === 0 ? x : sineAfter(x, 0))

/** Cosine of an angle in radians; NaN for what is not finite. */
export const cos = (x: number): number => sineAfter(x, 1)

/** Tangent of an angle in radians. */
export const tan = (x: number): number => sin(x) / cos(x)
