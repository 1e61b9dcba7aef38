import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { type Arrival, refineArrival } from '../../src/measure/pair/arrival.js'
import type { PairEstimate, PairInput } from '../../src/measure/pair/pair-estimate.js'
import { estimatePair } from '../../src/measure/pair/pair-estimate.js'
import { searchLags } from '../../src/measure/pair/search.js'
import { inPlace } from '../../test/corpus/in-place.js'
import { gaussian } from '../../test/corpus/random.js'
import { RECORDING_RATE_HZ, recording } from '../../test/corpus/recordings.js'
import type { Response } from '../../test/corpus/responses.js'
import { complexTransform, powerOfTwoAtLeast, through } from '../../test/corpus/spectrum.js'

/** A recording played a few times, direct and through a path, with what the measuring saw. */
export interface Heard {
  readonly estimate: PairEstimate
  /** With all its spectra. */
  readonly arrival: Arrival
  readonly input: PairInput
  /** Frames by which the source was read ahead; what `estimate` says is beside it. */
  readonly shiftSamples: number
  /** Plain correlation over lags of `-range … range` frames, by the root of the product of both energies. */
  readonly plain: (range: number) => Float64Array
  /** Our search curve in half frames, largest value 1. */
  readonly ours: (range: number) => Float64Array
}

const RATE = RECORDING_RATE_HZ

export const played = (name: string, everySeconds: number, seconds = 5): Float64Array => {
  const sample = recording(name)
  const out = new Float64Array(seconds * RATE)
  let level = 1
  for (let at = 3000; at < out.length; at += Math.round(everySeconds * RATE), level *= 0.85)
    for (let n = 0; n < sample.length && at + n < out.length; n++)
      out[at + n] = out[at + n]! + level * sample[n]!
  return out
}

const withHiss = (sound: Float64Array, level: number, seed: string): Float64Array => {
  const next = gaussian(seed)
  return sound.map(v => v + level * next())
}

export const heardThrough = async (dry: Float64Array, path: Response): Promise<Heard> => {
  const first = withHiss(dry, 1e-4, 'first')
  const second = withHiss(through(dry, RATE, 8192, path), 4e-4, 'second')
  const member = (name: string) => ({ name, channels: 1, frames: dry.length, startFrame: 0 })
  let input: PairInput | undefined
  const measured = await measureTraces(
    {
      sampleRateHz: RATE,
      members: [member('reference'), member('source')],
      reference: 0,
      searchSeconds: 0.04,
      passage: null,
    },
    inPlace([[first], [second]]),
    seen => {
      // The sums are let go when they have been looked at.
      input = structuredClone(seen)
      return estimatePair(seen)
    },
  )
  const pair = measured.pairs[0]!
  return {
    estimate: pair.estimate!,
    arrival: refineArrival(input!.sums, pair.estimate!.lagSamples, pair.estimate!.sign),
    input: input!,
    shiftSamples: pair.shiftSamples,
    plain: range => correlation(first, second, range),
    ours: range => {
      const { curve, rangeSamples } = searchLags(input!.sums, range + Math.abs(pair.shiftSamples))
      const most = curve.reduce((m, v) => Math.max(m, Math.abs(v)), 0)
      const zero = 2 * (rangeSamples - pair.shiftSamples)
      return Float64Array.from({ length: 4 * range + 1 }, (_, i) => curve[zero + i - 2 * range]! / most)
    },
  }
}

const correlation = (x: Float64Array, y: Float64Array, range: number): Float64Array => {
  const size = powerOfTwoAtLeast(2 * x.length)
  const spectrum = (sound: Float64Array): Float64Array => {
    const padded = new Float64Array(2 * size)
    sound.forEach((v, n) => {
      padded[2 * n] = v
    })
    return complexTransform(padded)
  }
  const a = spectrum(x)
  const b = spectrum(y)
  const cross = new Float64Array(2 * size)
  // Conjugated, so that a forward transform does the inverse.
  for (let k = 0; k < size; k++) {
    cross[2 * k] = a[2 * k]! * b[2 * k]! + a[2 * k + 1]! * b[2 * k + 1]!
    cross[2 * k + 1] = a[2 * k + 1]! * b[2 * k]! - a[2 * k]! * b[2 * k + 1]!
  }
  const curve = complexTransform(cross)
  const energy = (sound: Float64Array): number => sound.reduce((sum, v) => sum + v * v, 0)
  const whole = size * Math.sqrt(energy(x) * energy(y))
  return Float64Array.from(
    { length: 2 * range + 1 },
    (_, i) => curve[2 * ((i - range + size) % size)]! / whole,
  )
}
