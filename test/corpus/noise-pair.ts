import { random, whiteNoise } from './random.js'
import { through } from './spectrum.js'

/** White noise with independent noise in both channels, the second late by any number of frames: the case with a known bound. */
export interface NoisePair {
  readonly reference: Float64Array
  readonly source: Float64Array
  readonly lagSamples: number
  /** Cramér–Rao bound on the frames that both share, frames: `sqrt(3 / (pi^2 N q))`, `q = rho^2 / (1 + 2 rho)`. */
  readonly boundSamples: number
}

const MARGIN = 2048

/** `shape`: a real gain per frequency; the SNR is then taken in the band where it is 1, and the bound by its integral. */
export const noisePair = (
  seed: string,
  frames: number,
  snrDb: number,
  shape?: { readonly gain: (frequencyHz: number) => number; readonly lagRange: number },
): NoisePair => {
  const rate = 48000
  const lagSamples = (2 * random(`lag ${seed}`)() - 1) * (shape?.lagRange ?? 1900)
  const rho = 10 ** (snrDb / 10)
  const white = whiteNoise(frames + 2 * MARGIN, `signal ${seed}`)
  const gain = shape?.gain ?? (() => 1)
  const near = shape === undefined ? white : through(white, rate, MARGIN, f => [gain(f), 0])
  const late = through(near, rate, MARGIN, f => [
    Math.cos((2 * Math.PI * f * lagSamples) / rate),
    -Math.sin((2 * Math.PI * f * lagSamples) / rate),
  ])
  const level = 1 / Math.sqrt(rho)
  const noisy = (signal: Float64Array, name: string): Float64Array => {
    const noise = whiteNoise(frames, `${name} ${seed}`)
    return noise.map((n, i) => signal[MARGIN + i]! + level * n)
  }
  const seconds = (frames - Math.abs(lagSamples)) / rate
  // 1 / var = 2 T sum (2 pi f)^2 q(f) df, q = rho(f)^2 / (1 + 2 rho(f)).
  let information = 0
  const step = 10
  for (let f = step / 2; f < rate / 2; f += step) {
    const here = rho * gain(f) * gain(f)
    information += (2 * Math.PI * f) ** 2 * ((here * here) / (1 + 2 * here)) * step
  }
  return {
    reference: noisy(near, 'reference'),
    source: noisy(late, 'source'),
    lagSamples,
    boundSamples: rate / Math.sqrt(2 * seconds * information),
  }
}

/** -6 dB per octave above 200 Hz. */
export const falling = (frequencyHz: number): number => 1 / Math.sqrt(1 + (frequencyHz / 200) ** 2)
/** 80 … 800 Hz. */
export const lowBand = (frequencyHz: number): number => (frequencyHz >= 80 && frequencyHz <= 800 ? 1 : 0)
