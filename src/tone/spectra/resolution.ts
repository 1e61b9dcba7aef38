import { hann } from '../../signal/windows.js'
import { powerComplementary } from './power-window.js'

/** One way of cutting a signal into frames and taking their spectra. Everything but `factor` counts in frames at the lower rate. */
export interface Resolution {
  /** The signal is lowered in rate by this whole number first; 1 = as it is. */
  readonly factor: number
  readonly window: Float64Array
  /** Window length, padded with zeros to `fftSize`. */
  readonly fftSize: number
  readonly hop: number
  readonly binHz: number
  /**
   * Brings a sum over all frames to energy density: sum |X|^2 * scale * binHz / rate, over bins of both signs, is the energy of
   * the signal at its full rate.
   */
  readonly scale: number
}

/** The two resolutions in which every group is seen, and the fixed grid of time on which the work is cut. */
export interface SpectralGrid {
  readonly sampleRateHz: number
  /** About 0.34 s: 16,384 frames at 48 kHz. */
  readonly normal: Resolution
  /** For the low end, at a quarter of the bandwidth: about 1.37 s, 4,096 frames at 3 kHz. */
  readonly low: Resolution
  /** Frames that are read at a time, at full rate; one hop of `low`. */
  readonly blockFrames: number
  /** Frames of one piece of work; a multiple of `blockFrames`, about 44 s. */
  readonly segmentFrames: number
}

// 2^round(log2 x), without pow.
const nearestPowerOfTwo = (x: number): number => {
  let power = 1
  while (power * Math.SQRT2 < x) power *= 2
  return power
}

const NORMAL_SECONDS = 16384 / 48000
/** The low end is taken at the lowest rate, halving by halving, that is at least this. */
const LOWEST_RATE_HZ = 2600

/** Pure; for rates of 8 kHz to 384 kHz. The same for all sources of a group, which have one rate. */
export const spectralGrid = (sampleRateHz: number): SpectralGrid => {
  const length = nearestPowerOfTwo(NORMAL_SECONDS * sampleRateHz)
  let factor = 1
  while (sampleRateHz / (2 * factor) >= LOWEST_RATE_HZ) factor *= 2
  const lowLength = (4 * length) / factor
  const lowFftSize = 2 * lowLength
  const lowHop = lowLength / 4
  return {
    sampleRateHz,
    // Frames half a window apart: their squared windows add up to exactly 1 everywhere.
    normal: {
      factor: 1,
      window: powerComplementary(length),
      fftSize: length,
      hop: length / 2,
      binHz: sampleRateHz / length,
      scale: 1,
    },
    // Frames a quarter apart: the squared Hann windows add up to 3/2. The lower rate has 1/factor of the frames and so of the
    // energy, and a bin of its transform stands for 1/factor of the width: factor squared.
    low: {
      factor,
      window: hann(lowLength),
      fftSize: lowFftSize,
      hop: lowHop,
      binHz: sampleRateHz / factor / lowFftSize,
      scale: (factor * factor) / 1.5,
    },
    blockFrames: lowHop * factor,
    segmentFrames: 128 * lowHop * factor,
  }
}

/** Number of pieces of work for a timeline of so many frames: enough that every frame is covered by all windows that hold it. */
export const segmentsOf = (grid: SpectralGrid, frames: number): number => {
  const longest = grid.low.window.length * grid.low.factor
  return Math.max(1, Math.ceil((frames + longest - grid.blockFrames) / grid.segmentFrames))
}
