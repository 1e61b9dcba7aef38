import { random, whiteNoise } from './random.js'
import { inverseComplexTransform, powerOfTwoAtLeast } from './spectrum.js'

/** White noise with independent noise in both channels, the second late by any number of frames: the case with a known bound. */
export interface NoisePair {
  readonly reference: Float64Array
  readonly source: Float64Array
  readonly lagSamples: number
  /** Cramér–Rao bound on the frames that both share, frames: `sqrt(3 / (pi^2 N q))`, `q = rho^2 / (1 + 2 rho)`. */
  readonly boundSamples: number
}

const RATE_HZ = 48000
const LAG_RANGE = 1900
/** Frames before the cut: more than any lag, so that nothing of what wraps around is heard. */
const MARGIN = 2048

/**
 * `gain`: a real gain per frequency, 1 by default; the SNR is then that of the band where it is 1, and the bound is taken by its integral.
 * Both signals come out of one transform: a white spectrum X is the first, `X e^(-j 2 pi f lag)` the second, periodic with the length of
 * the transform, of which a shorter piece is cut. So the delay is exact at every frequency.
 */
export const noisePair = (
  seed: string,
  frames: number,
  snrDb: number,
  gain: (frequencyHz: number) => number = () => 1,
): NoisePair => {
  const lagSamples = (2 * random(`lag ${seed}`)() - 1) * LAG_RANGE
  const rho = 10 ** (snrDb / 10)
  const size = powerOfTwoAtLeast(frames + 2 * MARGIN)
  const white = whiteNoise(size, `signal ${seed}`)
  const both = new Float64Array(2 * size)
  for (let k = 1; k < size / 2; k++) {
    // Real and imaginary part of variance size / 2 each give a signal of variance 1 once the inverse has divided by the size.
    const level = gain((k * RATE_HZ) / size) * Math.sqrt(size / 2)
    const re = level * white[2 * k]!
    const im = level * white[2 * k + 1]!
    const angle = (2 * Math.PI * k * lagSamples) / size
    const lateRe = re * Math.cos(angle) + im * Math.sin(angle)
    const lateIm = im * Math.cos(angle) - re * Math.sin(angle)
    both[2 * k] = re - lateIm
    both[2 * k + 1] = im + lateRe
    both[2 * (size - k)] = re + lateIm
    both[2 * (size - k) + 1] = lateRe - im
  }
  const signals = inverseComplexTransform(both)
  const level = 1 / Math.sqrt(rho)
  const noisy = (part: 0 | 1, name: string): Float64Array =>
    whiteNoise(frames, `${name} ${seed}`).map((n, i) => signals[2 * (MARGIN + i) + part]! + level * n)
  const seconds = (frames - Math.abs(lagSamples)) / RATE_HZ
  // 1 / var = 2 T sum (2 pi f)^2 q(f) df, q = rho(f)^2 / (1 + 2 rho(f)).
  let information = 0
  const step = 10
  for (let f = step / 2; f < RATE_HZ / 2; f += step) {
    const here = rho * gain(f) * gain(f)
    information += (2 * Math.PI * f) ** 2 * ((here * here) / (1 + 2 * here)) * step
  }
  return {
    reference: noisy(0, 'reference'),
    source: noisy(1, 'source'),
    lagSamples,
    boundSamples: RATE_HZ / Math.sqrt(2 * seconds * information),
  }
}

/** -6 dB per octave above 200 Hz. */
export const falling = (frequencyHz: number): number => 1 / Math.sqrt(1 + (frequencyHz / 200) ** 2)
/** 80 … 800 Hz. */
export const lowBand = (frequencyHz: number): number => (frequencyHz >= 80 && frequencyHz <= 800 ? 1 : 0)
