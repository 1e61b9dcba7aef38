import { readFileSync } from 'node:fs'
import { RealFft } from '../../../src/signal/fft.js'

/**
 * A measuring of its own for the end-to-end tests: it shares nothing with src/measure but the transform. Cross-spectrum averaged
 * over the whole file, all magnitudes set to one within a band, searched in whole frames and then in tenths.
 */

/** Samples of a mono 24-bit WAVE file, read without src/wave. */
export const samplesOf = (path: string): Float64Array => {
  const bytes = readFileSync(path)
  let at = 12
  while (bytes.toString('latin1', at, at + 4) !== 'data')
    at += 8 + bytes.readUInt32LE(at + 4) + (bytes.readUInt32LE(at + 4) % 2)
  const frames = bytes.readUInt32LE(at + 4) / 3
  return Float64Array.from({ length: frames }, (_, n) => bytes.readIntLE(at + 8 + 3 * n, 3) / 8_388_608)
}

const SIZE = 8192

/** Sum over the file of conj(A) B per bin: positive lag = `b` is late. */
const crossSpectrum = (a: Float64Array, b: Float64Array): Float64Array => {
  const fft = new RealFft(SIZE)
  const window = Float64Array.from({ length: SIZE }, (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / SIZE))
  const [spectrumA, spectrumB, sum] = [
    new Float64Array(SIZE + 2),
    new Float64Array(SIZE + 2),
    new Float64Array(SIZE + 2),
  ]
  for (let start = 0; start + SIZE <= a.length; start += SIZE / 4) {
    fft.forward(
      a.subarray(start, start + SIZE).map((x, n) => x * window[n]!),
      spectrumA,
    )
    fft.forward(
      b.subarray(start, start + SIZE).map((x, n) => x * window[n]!),
      spectrumB,
    )
    for (let k = 0; k < SIZE + 2; k += 2) {
      sum[k]! += spectrumA[k]! * spectrumB[k]! + spectrumA[k + 1]! * spectrumB[k + 1]!
      sum[k + 1]! += spectrumA[k]! * spectrumB[k + 1]! - spectrumA[k + 1]! * spectrumB[k]!
    }
  }
  return sum
}

export interface Opinion {
  readonly lagSamples: number
  readonly polarity: 'normal' | 'inverted'
  /** Share of the band's bins that agree with it, 0..1. */
  readonly agreement: number
}

/** Lag of `b` against `a` within ±`reach` frames and its sign, from the phases between two frequencies. */
export const secondOpinion = (
  a: Float64Array,
  b: Float64Array,
  reach: number,
  bandHz: readonly [number, number],
  rateHz = 48_000,
): Opinion => {
  const cross = crossSpectrum(a, b)
  const [from, to] = bandHz.map(hz => Math.round((hz * SIZE) / rateHz)) as [number, number]
  const agreementAt = (lag: number): number => {
    let sum = 0
    for (let k = from; k <= to; k++) {
      const [re, im] = [cross[2 * k]!, cross[2 * k + 1]!]
      const size = Math.hypot(re, im)
      const turn = (2 * Math.PI * k * lag) / SIZE
      if (size > 0) sum += (re * Math.cos(turn) - im * Math.sin(turn)) / size
    }
    return sum / (to - from + 1)
  }
  const bestOf = (around: number, reachSamples: number, step: number): Opinion => {
    let best: Opinion = { lagSamples: around, polarity: 'normal', agreement: 0 }
    for (let lag = around - reachSamples; lag <= around + reachSamples; lag += step) {
      const value = agreementAt(lag)
      if (Math.abs(value) > best.agreement)
        best = { lagSamples: lag, polarity: value > 0 ? 'normal' : 'inverted', agreement: Math.abs(value) }
    }
    return best
  }
  return bestOf(bestOf(0, reach, 1).lagSamples, 1, 0.1)
}
