import { seededRandom } from '../../src/signal/random.js'

/** White noise, uniform in ±size, the same for the same name. */
export const noise = (name: string, frames: number, size = 0.5): Float64Array => {
  const random = seededRandom(name)
  return Float64Array.from({ length: frames }, () => (2 * random() - 1) * size)
}

/** amplitude * sin(2 pi f n / rate + phase) for n = start, start + 1, … */
export const sine = (
  frequencyHz: number,
  sampleRateHz: number,
  frames: number,
  { amplitude = 1, phase = 0, start = 0 } = {},
): Float64Array =>
  Float64Array.from(
    { length: frames },
    (_, i) => amplitude * Math.sin((2 * Math.PI * frequencyHz * (start + i)) / sampleRateHz + phase),
  )

/** Cuts a length into pieces of odd sizes, the same for the same name. */
export const cuts = (name: string, total: number, longest: number): { start: number; end: number }[] => {
  const random = seededRandom(name)
  const pieces: { start: number; end: number }[] = []
  for (let start = 0; start < total; ) {
    const end = Math.min(total, start + 1 + Math.floor(random() * longest))
    pieces.push({ start, end })
    start = end
  }
  return pieces
}

export const decibels = (gain: number): number => 20 * Math.log10(Math.abs(gain))

export const largestDifference = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let largest = 0
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i]! - b[i]!))
  return largest
}
