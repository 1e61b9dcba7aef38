import { bandWeight, type SlateResponse } from '../../../src/measure/slate/slate-responses.js'
import { RealFft } from '../../../src/signal/fft.js'
import { whiteNoise } from '../../corpus/random.js'

/* Responses to the slate made from their spectra, without any sweep. */

export const RATE = 48000
export const LENGTH = 4096
const SIZE = 8192

/** Pulses of the slate's own band at places in frames, fractional, through a first-order all-pass: its phase is -2 atan(f / turnHz). */
export const pulses = (
  places: readonly { readonly at: number; readonly factor: number }[],
  turnHz = Number.POSITIVE_INFINITY,
): Float64Array => {
  const spectrum = new Float64Array(SIZE + 2)
  for (let k = 1; k < SIZE / 2; k++) {
    const hz = (k * RATE) / SIZE
    for (const { at, factor } of places) {
      const turn = (-2 * Math.PI * k * at) / SIZE - 2 * Math.atan(hz / turnHz)
      spectrum[2 * k] = spectrum[2 * k]! + factor * bandWeight(hz) * Math.cos(turn)
      spectrum[2 * k + 1] = spectrum[2 * k + 1]! + factor * bandWeight(hz) * Math.sin(turn)
    }
  }
  const out = new Float64Array(SIZE)
  new RealFft(SIZE).inverse(spectrum, out)
  return out.slice(0, LENGTH)
}

/** Both sweeps' answers; noise does not turn over with the second. */
export const response = (path: Float64Array, startFrame: number, noise = 0, seed = ''): SlateResponse => {
  const heard = (which: string): Float64Array => {
    const own = whiteNoise(LENGTH, `${seed} ${which}`)
    return path.map((v, n) => v + noise * own[n]!)
  }
  return { sampleRateHz: RATE, startFrame, first: heard('first'), second: heard('second') }
}
