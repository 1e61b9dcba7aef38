import { RealFft } from '../../signal/fft.js'
import { hann } from '../../signal/windows.js'

/**
 * Power per bin of Hann-windowed frames of one power-of-two length, from 0 Hz to about `highestHz`, each frame's mean taken off. Scaled
 * so that the bins of a sine add up to its mean square.
 */
export const powerSpectra = (
  frames: readonly Float64Array[],
  binHz: number,
  highestHz: number,
): readonly Float64Array[] => {
  const size = frames[0]!.length
  const fft = new RealFft(size)
  const bins = Math.min(fft.bins, Math.ceil(highestHz / binHz))
  const window = hann(size)
  const windowed = new Float64Array(size)
  const spectrum = new Float64Array(size + 2)
  // Sum of the squares of a Hann window: 3/8 of its length.
  const scale = 2 / (size * size * 0.375)
  return frames.map(frame => {
    let sum = 0
    for (let i = 0; i < size; i++) sum += frame[i]!
    const mean = sum / size
    for (let i = 0; i < size; i++) windowed[i] = (frame[i]! - mean) * window[i]!
    fft.forward(windowed, spectrum)
    const power = new Float64Array(bins)
    for (let k = 0; k < bins; k++) {
      const re = spectrum[2 * k]!
      const im = spectrum[2 * k + 1]!
      power[k] = scale * (re * re + im * im)
    }
    return power
  })
}

/** Mean over frames, bin by bin. */
export const meanSpectrum = (spectra: readonly Float64Array[]): Float64Array => {
  const mean = new Float64Array(spectra[0]!.length)
  for (const spectrum of spectra) {
    for (let k = 0; k < mean.length; k++) mean[k] = mean[k]! + spectrum[k]! / spectra.length
  }
  return mean
}
