import type { Arrival } from './arrival.js'
import { LagObjective } from './lag-objective.js'
import type { PairSums } from './pair-sums.js'
import { scot } from './search.js'

/** What the lower and the upper half of the common band say by themselves about a lag and sign. */
export interface HalfBand {
  readonly fromHz: number
  readonly toHz: number
  /** Value at the lag over the best value that this half reaches nearby, either sign: 1 = it agrees, negative = it contradicts. */
  readonly agreement: number
  /** Where this half alone would put the lag, minus the arrival, frames, and with which sign. */
  readonly excessSamples: number
  readonly sign: 1 | -1
  /** Part of the common energy of both halves that lies in this one. */
  readonly energyShare: number
}

/**
 * Cuts the common band where half of its |γ| lies below, and looks for the best lag of either half within `reachSamples`.
 * Null where nothing is shared.
 */
export const halfBands = (
  sums: PairSums,
  arrival: Arrival,
  sign: 1 | -1,
  reachSamples: number,
): HalfBand[] => {
  const whitened = scot(arrival.sound)
  const { gammaSquared } = arrival.sound
  const total = gammaSquared.reduce((sum, g) => sum + Math.sqrt(g), 0)
  if (total === 0) return []
  let below = 0
  let cut = 0
  while (below < total / 2 && cut < gammaSquared.length) below += Math.sqrt(gammaSquared[cut++]!)
  const binHz = sums.sampleRateHz / sums.fftSize
  const energy = (from: number, to: number): number => {
    let sum = 0
    for (let k = from; k < to; k++) sum += gammaSquared[k]! * arrival.sound.level[k]!
    return sum
  }
  const all = energy(0, gammaSquared.length)
  return [
    [0, cut],
    [cut, gammaSquared.length],
  ].map(([from, to]) => {
    const part = new Float64Array(whitened.length)
    part.set(whitened.subarray(2 * from!, 2 * to!), 2 * from!)
    const shared = sharedRange(gammaSquared, from!, to!)
    const objective = new LagObjective(part, sums.fftSize)
    const left = arrival.lagSamples - arrival.sound.aroundLag
    // Four places to every cycle of the highest frequency of this half.
    const step = sums.fftSize / (4 * shared.to)
    let best = { value: 0, lag: 0, sign }
    for (let lag = -reachSamples; lag <= reachSamples; lag += step) {
      const { value } = objective.at(left + lag)
      if (Math.abs(value) > best.value) best = { value: Math.abs(value), lag, sign: value > 0 ? 1 : -1 }
    }
    const here = sign * objective.at(left).value
    if (best.value > 0) {
      const lag = objective.top(left + best.lag - step, left + best.lag + step, best.sign)
      best = {
        value: Math.max(best.value, best.sign * objective.at(lag).value),
        lag: lag - left,
        sign: best.sign,
      }
    }
    return {
      fromHz: shared.from * binHz,
      toHz: shared.to * binHz,
      agreement: best.value > 0 ? here / best.value : 0,
      excessSamples: best.lag,
      sign: best.sign,
      energyShare: all > 0 ? energy(from!, to!) / all : 0,
    }
  })
}

// Bins between which the middle 90 % of |γ| lie.
const sharedRange = (gammaSquared: Float64Array, from: number, to: number): { from: number; to: number } => {
  let total = 0
  for (let k = from; k < to; k++) total += Math.sqrt(gammaSquared[k]!)
  let sum = 0
  let first = from
  let last = to - 1
  for (let k = from; k < to; k++) {
    sum += Math.sqrt(gammaSquared[k]!)
    if (sum < 0.05 * total) first = k + 1
    if (sum <= 0.95 * total) last = k
  }
  return { from: Math.max(1, first), to: Math.max(2, last + 1) }
}
