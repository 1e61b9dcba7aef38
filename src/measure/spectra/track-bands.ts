import type { BlockPeak } from '../time/block-peaks.js'
import type { FrameGrid } from './frame-grid.js'

/** Sums of one block of time in the bands of `TrackBands`: small enough to keep for a whole take. */
export interface BandSums {
  readonly first: Float32Array
  readonly second: Float32Array
  /** Interleaved, `conj(first) * second`. */
  readonly cross: Float32Array
}

export interface BlockTrack {
  /** Middle of the block in the group's time. */
  readonly atSeconds: number
  /** Frames in which both voted, per tracked pair. */
  readonly frames: readonly number[]
  /** In the order of `SpectraPlan.tracked`. */
  readonly pairs: readonly BandSums[]
  /** The clearest lags of the block per tracked pair; empty where the plan does not ask for them. */
  readonly peaks: readonly (readonly BlockPeak[])[]
}

/** Width of a band, Hz, at most: a lag of 40 frames at 48 kHz turns the phase by a quarter over it. */
const MAX_WIDTH_HZ = 300
const MIN_HZ = 40
const MAX_HZ = 16000

/** Bands of an eighth of an octave, at least one bin and at most 300 Hz wide, in which a block's spectra are kept. */
export class TrackBands {
  /** First bin of every band, and one past the last of all. */
  readonly edges: readonly number[]
  /** Middle of every band in Hz. */
  readonly centresHz: readonly number[]

  constructor(grid: Pick<FrameGrid, 'sampleRateHz' | 'fftSize'>) {
    const binHz = grid.sampleRateHz / grid.fftSize
    const last = Math.min(Math.floor(MAX_HZ / binHz), grid.fftSize / 2)
    const edges = [Math.max(2, Math.ceil(MIN_HZ / binHz))]
    while (edges[edges.length - 1]! < last) {
      const at = edges[edges.length - 1]!
      const width = Math.min(at * binHz * 0.09, MAX_WIDTH_HZ)
      edges.push(Math.min(last, at + Math.max(1, Math.round(width / binHz))))
    }
    this.edges = edges
    this.centresHz = edges.slice(1).map((edge, i) => ((edge + edges[i]! - 1) / 2) * binHz)
  }

  /** `cross`: laid out as a spectrum of `SingleFft`, real parts in its first half. */
  reduce(first: Float64Array, second: Float64Array, cross: Float64Array): BandSums {
    const apart = cross.length / 2
    const count = this.centresHz.length
    const sums = {
      first: new Float32Array(count),
      second: new Float32Array(count),
      cross: new Float32Array(2 * count),
    }
    for (let band = 0; band < count; band++) {
      let a = 0
      let b = 0
      let re = 0
      let im = 0
      for (let k = this.edges[band]!; k < this.edges[band + 1]!; k++) {
        a += first[k]!
        b += second[k]!
        re += cross[k]!
        im += cross[apart + k]!
      }
      sums.first[band] = a
      sums.second[band] = b
      sums.cross[2 * band] = re
      sums.cross[2 * band + 1] = im
    }
    return sums
  }
}
