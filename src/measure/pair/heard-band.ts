import type { Arrival } from './arrival.js'
import { octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** Octaves this far under the loudest are not heard with it: 40 dB in power, as for fullness. */
const HEARD = 1e-4

/** Upper edge of the highest octave in which the common sound (energy times γ²) is within 40 dB of its loudest octave, Hz; 0 with none. */
export const heardToHz = (sums: PairSums, { sound }: Arrival): number => {
  const octaves = octaveBands(sums.sampleRateHz, sums.fftSize).map(({ from, to }) => {
    let energy = 0
    for (let k = from; k < to; k++) energy += sound.gammaSquared[k]! * sound.level[k]!
    return { to, energy }
  })
  const loudest = Math.max(0, ...octaves.map(o => o.energy))
  const highest = octaves.findLast(o => o.energy > HEARD * loudest)
  return highest === undefined ? 0 : (highest.to * sums.sampleRateHz) / sums.fftSize
}
