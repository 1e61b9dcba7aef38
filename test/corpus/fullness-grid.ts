import { pairOf } from '../../src/measure/group/gather.js'
import type { MeasuredTraces } from '../../src/measure/group/measured-traces.js'
import { octaveBands } from '../../src/measure/pair/octaves.js'
import type { PairSums } from '../../src/measure/pair/pair-sums.js'

const STEP_SAMPLES = 0.5
/** Octaves more than 40 dB under the loudest are not heard. */
const HEARD = 1e-4

interface Octave {
  readonly from: number
  readonly to: number
  readonly own: number
  readonly most: number
}

/**
 * By how much the fullest position that was found misses the fullest of all lags of the search in steps of half a frame, both signs, dB: the
 * definition worked out by plain sums, apart from the code that searches. Null where nothing was found.
 */
export const fullnessMissDb = (measured: MeasuredTraces): number | null => {
  const [pair] = measured.pairs
  const [best] = pair?.estimate?.fullness ?? []
  if (pair === undefined || best === undefined) return null
  const { sums } = pairOf(measured.gathered, 0)
  const { gain, octaves } = octavesOf(sums)
  const lossDb = (lag: number): readonly [normal: number, inverted: number] => {
    let normal = 0
    let inverted = 0
    for (const { from, to, own, most } of octaves) {
      let inPhase = 0
      const turn = (2 * Math.PI * lag) / sums.fftSize
      let re = Math.cos(turn * from)
      let im = Math.sin(turn * from)
      const [turnRe, turnIm] = [Math.cos(turn), Math.sin(turn)]
      for (let k = from; k < to; k++) {
        inPhase += sums.cross[2 * k]! * re - sums.cross[2 * k + 1]! * im
        const next = re * turnRe - im * turnIm
        im = re * turnIm + im * turnRe
        re = next
      }
      const both = 2 * gain * inPhase
      normal += 10 * Math.log10(most / Math.max(1e-12 * most, own + both))
      inverted += 10 * Math.log10(most / Math.max(1e-12 * most, own - both))
    }
    return [normal / octaves.length, inverted / octaves.length]
  }
  let least = Number.POSITIVE_INFINITY
  const low = -measured.searchSamples - pair.shiftSamples
  const high = measured.searchSamples - pair.shiftSamples
  const reach = 0.48 * sums.fftSize
  for (let lag = Math.max(low, -reach); lag <= Math.min(high, reach); lag += STEP_SAMPLES) {
    least = Math.min(least, ...lossDb(lag))
  }
  return lossDb(best.lagSamples)[best.sign === 1 ? 0 : 1] - least
}

const octavesOf = (sums: PairSums): { gain: number; octaves: Octave[] } => {
  const bands = octaveBands(sums.sampleRateHz, sums.fftSize)
  const last = bands[bands.length - 1]!.to
  let first = 0
  let second = 0
  for (let k = 2; k < last; k++) {
    first += sums.first[k]!
    second += sums.second[k]!
  }
  const gain = 1 / Math.sqrt(first * second)
  const octaves = bands.map(({ from, to }) => {
    let own = 0
    let shared = 0
    for (let k = from; k < to; k++) {
      own += sums.first[k]! / first + sums.second[k]! / second
      shared += gain * Math.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!)
    }
    return { from, to, own, most: own + 2 * shared }
  })
  const loudest = Math.max(...octaves.map(o => o.own))
  return { gain, octaves: octaves.filter(o => o.own > HEARD * loudest) }
}
