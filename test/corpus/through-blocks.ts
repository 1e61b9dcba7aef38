import FFT from 'fft.js'

const SIZE = 1 << 16
const HOP = SIZE / 2
/** Of a transform: what may come before the response's own zero (edges of its filters), frames. */
const AHEAD = 4096

/**
 * A long signal through a response given by its value at every frequency, block by block: cheap at any length. The response
 * must have died away after 28,672 frames; `impulse` (if any) is one more response in frames, laid behind it.
 */
export const throughBlocks = (
  signal: Float64Array,
  sampleRateHz: number,
  response: (frequencyHz: number) => readonly [re: number, im: number],
  impulse: Float64Array = Float64Array.of(1),
): Float64Array => {
  const fft = new FFT(SIZE)
  const padded = new Float64Array(2 * SIZE)
  impulse.subarray(0, SIZE - HOP - AHEAD).forEach((v, n) => {
    padded[2 * n] = v
  })
  const path = new Float64Array(2 * SIZE)
  fft.transform(path, padded)
  for (let k = 0; k <= SIZE / 2; k++) {
    const [re, im] = k === SIZE / 2 ? [0, 0] : response((k * sampleRateHz) / SIZE)
    const a = path[2 * k]!
    const b = path[2 * k + 1]!
    path[2 * k] = a * re - b * im
    path[2 * k + 1] = k === 0 ? 0 : a * im + b * re
    if (k === 0 || k === SIZE / 2) continue
    path[2 * (SIZE - k)] = path[2 * k]!
    path[2 * (SIZE - k) + 1] = -path[2 * k + 1]!
  }
  const out = new Float64Array(signal.length)
  const block = new Float64Array(2 * SIZE)
  const spectrum = new Float64Array(2 * SIZE)
  // Two hops at once: one as the real, one as the imaginary part.
  const before = SIZE - HOP - AHEAD
  for (let start = 0; start < signal.length; start += 2 * HOP) {
    for (let i = 0; i < SIZE; i++) {
      const n = start - before + i
      block[2 * i] = signal[n] ?? 0
      block[2 * i + 1] = signal[n + HOP] ?? 0
    }
    fft.transform(spectrum, block)
    for (let k = 0; k < SIZE; k++) {
      const a = spectrum[2 * k]!
      const b = spectrum[2 * k + 1]!
      spectrum[2 * k] = a * path[2 * k]! - b * path[2 * k + 1]!
      spectrum[2 * k + 1] = a * path[2 * k + 1]! + b * path[2 * k]!
    }
    fft.inverseTransform(block, spectrum)
    for (let i = 0; i < HOP; i++) {
      const n = start + i
      if (n < out.length) out[n] = block[2 * (before + i)]!
      if (n + HOP < out.length) out[n + HOP] = block[2 * (before + i) + 1]!
    }
  }
  return out
}
