import type { Room } from './room.js'
import { complexTransform, powerOfTwoAtLeast } from './spectrum.js'

/** What is true of a generated path and decides whether its lag can be known, from the generator's own numbers alone. */
export interface PathFacts {
  /** Energy of the direct sound over that of all reflections and the tail together, dB. */
  readonly directOverLaterDb: number
  /** Octaves above 1 kHz (1–2, 2–4, 4–8, 8–16 kHz) in which the instrument is louder than noise and bleed in both tracks. */
  readonly sharedOctavesAbove1kHz: number
}

/**
 * The lag of a path can be known where the direct sound is dominant and both tracks share sound above 1 kHz:
 * - dominant: the microphone stands within the critical distance, that is, the direct sound has at least the energy of all that
 *   comes after it (0 dB; the usual definition of the critical distance);
 * - shared: in two octaves above 1 kHz at least the instrument is louder than everything else in either track. One octave alone
 *   would be a narrow band, which fits at several lags.
 */
export const isKnowable = (facts: PathFacts): boolean =>
  facts.directOverLaterDb >= 0 && facts.sharedOctavesAbove1kHz >= 2

/** Reflections count by their energy; the tail follows each of them as it follows the direct sound. */
export const directOverLaterDb = (room: Room, tailDb: number): number => {
  const reflected = room.reflections.reduce((sum, r) => sum + r.factor * r.factor, 0)
  return -10 * Math.log10((1 + reflected) * (1 + 10 ** (tailDb / 10)) - 1)
}

/** One track: the instrument, what else it holds, and its white noise against the rms of both. */
interface TrackParts {
  readonly instrument: Float64Array
  readonly rest: Float64Array
  readonly noiseDb: number
}

const OCTAVES = 4

/** Number of octaves from `fromHz` on in which every track's instrument is louder than the rest of that track. */
export const octavesAbove = (fromHz: number, rateHz: number, tracks: readonly TrackParts[]): number => {
  const clear = tracks.map(({ instrument, rest, noiseDb }) => {
    const [own, other] = octaveEnergies(instrument, rest, fromHz, rateHz)
    const all = sumOfSquares(instrument) + sumOfSquares(rest)
    return own.map((energy, o) => {
      const width = (fromHz * 2 ** o) / (rateHz / 2)
      return energy >= other[o]! + all * 10 ** (noiseDb / 10) * width
    })
  })
  return Array.from({ length: OCTAVES }, (_, o) => clear.every(c => c[o]!)).filter(Boolean).length
}

const sumOfSquares = (x: Float64Array): number => x.reduce((sum, v) => sum + v * v, 0)

// Two real signals in one complex transform; energies as sums of squares over time (Parseval).
const octaveEnergies = (
  first: Float64Array,
  second: Float64Array,
  fromHz: number,
  rateHz: number,
): readonly [number[], number[]] => {
  const size = powerOfTwoAtLeast(first.length)
  const input = new Float64Array(2 * size)
  first.forEach((v, n) => {
    input[2 * n] = v
    input[2 * n + 1] = second[n]!
  })
  const spectrum = complexTransform(input)
  const sums: [number[], number[]] = [
    Array.from({ length: OCTAVES }, () => 0),
    Array.from({ length: OCTAVES }, () => 0),
  ]
  for (let o = 0; o < OCTAVES; o++) {
    const from = Math.round((fromHz * 2 ** o * size) / rateHz)
    const to = Math.min(size / 2, Math.round((fromHz * 2 ** (o + 1) * size) / rateHz))
    for (let k = from; k < to; k++) {
      const [a, b] = [spectrum[2 * k]!, spectrum[2 * k + 1]!]
      const [c, d] = [spectrum[2 * (size - k)]!, spectrum[2 * (size - k) + 1]!]
      // X = (Z(k) + Z*(-k)) / 2, Y = (Z(k) - Z*(-k)) / 2j
      sums[0][o] = sums[0][o]! + ((a + c) ** 2 + (b - d) ** 2) / (2 * size)
      sums[1][o] = sums[1][o]! + ((b + d) ** 2 + (a - c) ** 2) / (2 * size)
    }
  }
  return sums
}
