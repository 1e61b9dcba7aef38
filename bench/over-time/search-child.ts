import { judgeCase } from '../../test/corpus/judge-case.js'
import { movingCase, MOVING_RATE_HZ as RATE } from '../../test/corpus/moving-cases.js'
import { delayed } from '../../test/corpus/spectrum.js'

/** A take found again within a search; with a second copy of it where `echoDb` is a level. */
export interface SearchQuestion {
  readonly seed: string
  readonly searchSeconds: number
  readonly echoDb: number | null
}

export interface SearchAnswer {
  readonly verdict: 'sure' | 'unsure' | 'unknown'
  readonly wronglySure: boolean
  readonly errorSamples: number | null
  /** Processor seconds of measuring. */
  readonly seconds: number
}

export const SEARCH_SECONDS = 30
const ECHO_FRAMES = 0.3 * RATE
const ECHO_LAG = 60000.4
const AIR = 100

export const answer = async ({ seed, searchSeconds, echoDb }: SearchQuestion): Promise<SearchAnswer> => {
  const take = movingCase('register', seed, SEARCH_SECONDS)
  const lag = echoDb === null ? Math.round(0.9 * searchSeconds * RATE) + 0.4 : ECHO_LAG
  const first = delayed(take.source, lag - AIR)
  const second = echoDb === null ? null : delayed(first, ECHO_FRAMES)
  const source = second === null ? first : first.map((v, n) => v + 10 ** (echoDb! / 20) * second[n]!)
  const before = process.cpuUsage()
  const told = await judgeCase({
    ...{ name: 'search', kind: 'search', sampleRateHz: RATE, reference: take.reference, source },
    ...{ searchSeconds, truth: { lagSamples: lag, polarity: 'normal' as const }, knowable: true },
  })
  const { user, system } = process.cpuUsage(before)
  const { lagVerdict } = told.judged
  return {
    verdict: told.sure ? 'sure' : lagVerdict === 'unknown' ? 'unknown' : 'unsure',
    wronglySure: told.wronglySure,
    errorSamples: told.errorSamples,
    seconds: (user + system) / 1e6,
  }
}
