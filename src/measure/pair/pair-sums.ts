/**
 * Summed spectra of one pair of traces. Bins `0 … fftSize / 2`; `cross` is `conj(first) * second`, interleaved, so that a
 * second trace that is late by `lag` frames has the phase `-2 pi f lag / sampleRateHz`.
 */
export interface PairSums {
  readonly sampleRateHz: number
  readonly fftSize: number
  readonly windowLength: number
  readonly first: Float64Array
  readonly second: Float64Array
  readonly cross: Float64Array
  /** Number of independent frames in each register (see `independentFrames`). */
  readonly independent: readonly number[]
  /** Sounding time behind the sums, seconds. */
  readonly seconds: number
}

/**
 * Independent frames among overlapping ones of unequal energy: `(sum a)^2 / sum a^2 * share`, where `a` is the geometric mean
 * of both energies and `share` the independent frames per frame of the overlap (Welch 1967). At least 1.
 */
export const independentFrames = (votes: Float64Array, share: number): number[] =>
  Array.from({ length: votes.length / 2 }, (_, register) => {
    const sum = votes[2 * register]!
    const squares = votes[2 * register + 1]!
    return squares > 0 ? Math.max(1, ((sum * sum) / squares) * share) : 1
  })
