/** Pi / 6 in two pieces. */
const SIXTH = Math.PI / 6
const SIXTH_TAIL = 5.74182141399611e-17
const SQRT3 = 1.7320508075688772
const TAN_15_DEGREES = 0.2679491924311227

/** (-1)^n / (2 n + 1) for n from 1: Taylor's series. Up to tan 15° the first term left out is below 1e-19 of the result. */
const TERMS = Float64Array.from({ length: 16 }, (_, n) => (n % 2 === 0 ? -1 : 1) / (2 * n + 3))

const small = (x: number): number => {
  const z = x * x
  let series = 0
  for (let n = TERMS.length - 1; n >= 0; n--) series = z * (TERMS[n]! + series)
  return x + x * series
}

const upToOne = (x: number): number =>
  x <= TAN_15_DEGREES ? small(x) : SIXTH + (small((SQRT3 * x - 1) / (SQRT3 + x)) + SIXTH_TAIL)

/** Angle whose tangent is x, from -pi/2 to pi/2. */
export const atan = (x: number): number => {
  const size = Math.abs(x)
  const angle = size <= 1 ? upToOne(size) : Math.PI / 2 - upToOne(1 / size)
  return x < 0 ? -angle : Number.isNaN(x) ? x : x === 0 ? x : angle
}

/** Angle of the point (x, y) from the positive x axis, from -pi to pi; 0 for the origin, whatever the signs of its zeros. */
export const atan2 = (y: number, x: number): number => {
  if (x === 0 && y === 0) return 0
  if (Math.abs(y) > Math.abs(x)) {
    const beside = atan(x / y)
    return (y > 0 ? Math.PI / 2 : -Math.PI / 2) - beside
  }
  const angle = atan(y / x)
  return x > 0 ? angle : y < 0 ? angle - Math.PI : angle + Math.PI
}
