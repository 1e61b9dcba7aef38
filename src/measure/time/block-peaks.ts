import type { RealFft } from '../../signal/fft.js'
import { runningMean } from '../pair/smooth.js'

/** A lag that one block of the take speaks for. */
export interface BlockPeak {
  /** Frames, against the pass's own shift. */
  readonly lagSamples: number
  /** Height over the rms of the curve, with the sign of the polarity. */
  readonly height: number
}

const HALF = 8
const KEPT = 4
const LEAST_HEIGHT = 5

/**
 * The clearest lags of one block: peaks of the whitened cross-spectrum `S12 / sqrt(S11 S22)`, auto-spectra smoothed over 17
 * bins. Coarse (whole frames): for finding a lag that runs away during the take, not for telling it.
 */
export const blockPeaks = (
  first: Float64Array,
  second: Float64Array,
  cross: Float64Array,
  rangeSamples: number,
  fft: RealFft,
): BlockPeak[] => {
  const bins = first.length
  const half = new Int32Array(bins).fill(HALF)
  const a = runningMean(first, half)
  const b = runningMean(second, half)
  const spectrum = new Float64Array(2 * bins)
  for (let k = 3; k < bins; k++) {
    const level = Math.sqrt(a[k]! * b[k]!)
    if (!(level > 0)) continue
    spectrum[2 * k] = cross[2 * k]! / level
    spectrum[2 * k + 1] = cross[2 * k + 1]! / level
  }
  const curve = new Float64Array(fft.size)
  fft.inverse(spectrum, curve)
  const range = Math.min(Math.floor(rangeSamples), fft.size / 2 - 2)
  const at = (lag: number): number => curve[lag < 0 ? lag + fft.size : lag]!
  let squares = 0
  for (let lag = -range; lag <= range; lag++) squares += at(lag) * at(lag)
  const rms = Math.sqrt(squares / (2 * range + 1))
  if (!(rms > 0)) return []
  const peaks: BlockPeak[] = []
  for (let lag = -range + 1; lag < range; lag++) {
    const size = Math.abs(at(lag))
    if (size < LEAST_HEIGHT * rms || size < Math.abs(at(lag - 1)) || size <= Math.abs(at(lag + 1))) continue
    peaks.push({ lagSamples: lag, height: at(lag) / rms })
  }
  return peaks.sort((p, q) => Math.abs(q.height) - Math.abs(p.height)).slice(0, KEPT)
}
