import { type NoiseKind, type NoiseTrial, noiseTrial } from './noise-trials.js'

/** Some trials of one kind, by their numbers. */
export interface NoiseLot {
  readonly kind: NoiseKind
  readonly from: number
  readonly to: number
}

export const answer = async ({ kind, from, to }: NoiseLot): Promise<NoiseTrial[]> => {
  const trials: NoiseTrial[] = []
  for (let trial = from; trial < to; trial++) trials.push(await noiseTrial(kind, trial, 'bench'))
  return trials
}
