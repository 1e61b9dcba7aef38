import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import { inPlace } from '../../test/corpus/in-place.js'
import { falling, lowBand, noisePair } from '../../test/corpus/noise-pair.js'

/** One kind of trial. */
export interface NoiseKind {
  readonly shape: 'white' | 'falling' | 'band'
  readonly seconds: number
  readonly snrDb: number
}

/** One trial: its error over the Cramér–Rao bound and over the uncertainty that was told; null where it missed by over half a millisecond. */
export type NoiseTrial = {
  readonly ofBound: number
  readonly ofStated: number
  readonly errorSamples: number
  readonly statedSamples: number
} | null

/** What many trials of one kind came to. */
export interface Exactness {
  readonly trials: number
  /** Misses of more than half a millisecond, left out of the rest. */
  readonly outliers: number
  /** Rms error over the bound. */
  readonly ratio: number
  readonly bias: number
  /** Standard deviation of error / stated uncertainty, and the part beyond 3.3. */
  readonly stated: number
  readonly beyond: number
}

const OUTLIER_SAMPLES = 24
const GAINS = { white: undefined, falling, band: lowBand } as const

export const noiseTrial = async (
  { shape, seconds, snrDb }: NoiseKind,
  trial: number,
  seed: string,
): Promise<NoiseTrial> => {
  const frames = seconds * 48000
  const pair = noisePair(`${seed} ${shape} ${seconds} ${snrDb} ${trial}`, frames, snrDb, GAINS[shape])
  const member = (name: string) => ({ name, channels: 1, frames, startFrame: 0 })
  const measured = await measureTraces(
    {
      sampleRateHz: 48000,
      members: [member('a'), member('b')],
      reference: 0,
      searchSeconds: 0.04,
      passage: null,
    },
    inPlace([[pair.reference], [pair.source]]),
  )
  const solved = solveLags(measured)
  const error = (solved.lagSamples[1] ?? Number.POSITIVE_INFINITY) - pair.lagSamples
  if (!(Math.abs(error) < OUTLIER_SAMPLES)) return null
  const statedSamples = solved.uncertaintySamples[1]!
  return {
    ofBound: error / pair.boundSamples,
    ofStated: error / statedSamples,
    errorSamples: error,
    statedSamples,
  }
}

export const exactnessOf = (trials: readonly NoiseTrial[]): Exactness => {
  const kept = trials.filter(t => t !== null)
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length
  return {
    trials: trials.length,
    outliers: trials.length - kept.length,
    ratio: Math.sqrt(mean(kept.map(t => t.ofBound * t.ofBound))),
    bias: mean(kept.map(t => t.ofBound)),
    stated: Math.sqrt(mean(kept.map(t => t.ofStated * t.ofStated))),
    beyond: mean(kept.map(t => (Math.abs(t.ofStated) > 3.3 ? 1 : 0))),
  }
}
