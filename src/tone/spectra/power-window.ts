import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'

/**
 * Window whose square and the square of its copy half a length away add up to exactly 1: sin(pi/2 sin^2(pi (n + 1/2) / length)).
 * At half overlap every sample so counts once in a sum of power spectra. Its side lobes fall faster than those of a plain sine
 * (published: Vorbis I specification, "window"; property: Princen and Bradley). `length` even.
 */
export const powerComplementary = (length: number): Float64Array =>
  Float64Array.from({ length }, (_, n) => {
    const s = portable.sin((Math.PI * (n + 0.5)) / length)
    return portable.sin((Math.PI / 2) * s * s)
  })

/**
 * What a window leaves of a correlation at a lag: sum w(n) w(n + lag) / sum w(n)^2. Falls from 1 at lag 0 to 0 at its length. A sum of
 * power spectra of windowed frames is the transform of the signal's correlation times this.
 */
export const windowCorrelation = (window: Float64Array, lag: number): number => {
  let product = 0
  let power = 0
  for (let n = 0; n < window.length; n++) {
    power += window[n]! * window[n]!
    if (n + lag < window.length) product += window[n]! * window[n + lag]!
  }
  return product / power
}

/** The same for lags 0 … lags - 1, by a transform twice as long as the window. `window`: a power of two long. */
export const windowCorrelations = (window: Float64Array, lags: number): Float64Array => {
  const fft = new RealFft(2 * window.length)
  const padded = new Float64Array(2 * window.length)
  padded.set(window)
  const spectrum = new Float64Array(2 * window.length + 2)
  fft.forward(padded, spectrum)
  for (let k = 0; k < fft.bins; k++) {
    const re = spectrum[2 * k]!
    const im = spectrum[2 * k + 1]!
    spectrum[2 * k] = re * re + im * im
    spectrum[2 * k + 1] = 0
  }
  fft.inverse(spectrum, padded)
  return padded.subarray(0, lags).map(value => value / padded[0]!)
}
