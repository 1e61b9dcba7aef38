import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import { windowCorrelations } from '../spectra/power-window.js'
import type { Resolution } from '../spectra/resolution.js'
import type { SpectralSums } from '../spectra/sums.js'

/**
 * Lags that are kept, as shares of the window: all up to the first, none beyond the second. What lies further out would be divided by
 * a small number, and where the transform is no longer than the window it comes mixed with lags from the other side.
 */
const reachOf = (resolution: Resolution): { readonly full: number; readonly none: number } =>
  resolution.fftSize > resolution.window.length ? { full: 0.6, none: 0.75 } : { full: 0.27, none: 0.4 }

/**
 * Factors that take the window out of a correlation: 1 / (window's own correlation), faded out at long lags. One per lag of the
 * transform, negative lags at its end.
 */
const lagFactors = (resolution: Resolution): Float64Array => {
  const { window, fftSize } = resolution
  const { full, none } = reachOf(resolution)
  const kept = Math.floor(none * window.length)
  const left = windowCorrelations(window, kept)
  const factors = new Float64Array(fftSize)
  for (let lag = 0; lag < kept; lag++) {
    const beyond = Math.max(0, (lag / window.length - full) / (none - full))
    const factor = (0.5 + 0.5 * portable.cos(Math.PI * beyond)) / left[lag]!
    factors[lag] = factor
    if (lag > 0) factors[fftSize - lag] = factor
  }
  return factors
}

/**
 * Takes the blur of the windows out of sums of spectra.
 *
 * A sum of power spectra over frames in which every sample counts once is exactly the transform of the signal's correlation times the
 * window's: a blurred spectrum. Divided by it lag by lag, the sharp spectrum comes back, as far as the lags kept reach. Energies in
 * bands wider than about two bins then are those of the signal itself, skirts and all. Values between lines can be negative.
 */
export const unsmear = (sums: SpectralSums, resolution: Resolution): SpectralSums => {
  const fft = new RealFft(resolution.fftSize)
  const factors = lagFactors(resolution)
  const spectrum = new Float64Array(resolution.fftSize + 2)
  const correlation = new Float64Array(resolution.fftSize)
  const sharpen = (real: Float64Array, imaginary: Float64Array | null): [Float64Array, Float64Array] => {
    for (let k = 0; k < fft.bins; k++) {
      spectrum[2 * k] = real[k]!
      spectrum[2 * k + 1] = imaginary === null ? 0 : imaginary[k]!
    }
    fft.inverse(spectrum, correlation)
    for (let lag = 0; lag < correlation.length; lag++) correlation[lag] = correlation[lag]! * factors[lag]!
    fft.forward(correlation, spectrum)
    return [
      Float64Array.from({ length: fft.bins }, (_, k) => spectrum[2 * k]!),
      Float64Array.from({ length: fft.bins }, (_, k) => spectrum[2 * k + 1]!),
    ]
  }
  const cross = sums.real.map((real, p) => sharpen(real, sums.imaginary[p]!))
  return {
    ...sums,
    auto: sums.auto.map(auto => sharpen(auto, null)[0]),
    real: cross.map(([real]) => real),
    imaginary: cross.map(([, imaginary]) => imaginary),
  }
}
