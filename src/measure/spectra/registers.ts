import { powerInto } from '../../signal/single-sums.js'
import type { FrameGrid } from './frame-grid.js'

/**
 * Three wide registers in which the number of independent frames is counted apart: treble may live in a few strokes only,
 * while the bass sounds all the time.
 */
export const REGISTER_EDGES_HZ = [250, 2000] as const
export const REGISTERS = 3

/** 0 below the first edge, 1 between them, 2 above. */
export const registerOf = (frequencyHz: number): number =>
  frequencyHz < REGISTER_EDGES_HZ[0] ? 0 : frequencyHz < REGISTER_EDGES_HZ[1] ? 1 : 2

/** First bin of every register, and one past the last of all. */
export const registersOfBins = (grid: FrameGrid, bins: number): readonly number[] => {
  const edges = Array.from({ length: REGISTERS + 1 }, () => bins)
  for (let k = bins - 1; k >= 0; k--) edges[registerOf((k * grid.sampleRateHz) / grid.fftSize)] = k
  for (let r = REGISTERS - 1; r >= 0; r--) edges[r] = Math.min(edges[r]!, edges[r + 1]!)
  return edges
}

/** Adds the power of a spectrum to `sum`; `energies`: what it comes to in each register. */
export const addPowerByRegister = (
  spectrum: Float32Array,
  sum: Float64Array,
  registers: readonly number[],
  energies: Float64Array,
): void => {
  for (let r = 0; r < REGISTERS; r++) {
    energies[r] = powerInto(spectrum, sum, 1, registers[r], registers[r + 1])
  }
}

/** Adds a frame of a pair to its votes, see `SegmentSpectra`; by the energies of both in each register. */
export const countVotes = (first: Float64Array, second: Float64Array, votes: Float64Array): void => {
  for (let r = 0; r < REGISTERS; r++) {
    const product = first[r]! * second[r]!
    votes[2 * r] = votes[2 * r]! + Math.sqrt(product)
    votes[2 * r + 1] = votes[2 * r + 1]! + product
  }
}
