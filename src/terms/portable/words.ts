/** One double, seen as its two 32-bit words as well. Little-endian, as every machine is that this runs on. */
const double = new Float64Array(1)
const words = new Int32Array(double.buffer)

const powers = Float64Array.from({ length: 2046 }, (_, index) => 2 ** (index - 1022))

/** 2^exponent, exact, for -1022 … 1023. */
export const powerOfTwo = (exponent: number): number => powers[exponent + 1022]!

const SMALLEST_NORMAL = 2 ** -1022
/** What the upper bits of the fraction of sqrt(2) lack to the next power of two: adding it rounds there. */
const SQRT2_LACKS = 0x100000 - 0x6a09e

/** Of x = part 2^exponent, with a part from about sqrt(1/2) to sqrt(2): the exponent. For finite numbers above 0. */
export const exponentOf = (x: number): number => {
  const tiny = x < SMALLEST_NORMAL
  double[0] = tiny ? x * 2 ** 54 : x
  return ((words[1]! + SQRT2_LACKS) >> 20) - (tiny ? 1077 : 1023)
}

/** The part; exact. */
export const partOf = (x: number, exponent: number): number =>
  exponent < -1021
    ? x * powerOfTwo(1000) * powerOfTwo(-exponent - 1000)
    : exponent > 1021
      ? x * powerOfTwo(-1000) * powerOfTwo(1000 - exponent)
      : x * powerOfTwo(-exponent)
