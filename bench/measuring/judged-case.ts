import { theOtherWayRound } from '../../test/corpus/case.js'
import { fullnessMissDb } from '../../test/corpus/fullness-grid.js'
import { HARD_KINDS, type HardKind, hardCase } from '../../test/corpus/hard-cases.js'
import { judgeCase } from '../../test/corpus/judge-case.js'
import { realCase } from '../../test/corpus/real-cases.js'

/** One case of the corpus by its kind and seed. */
export interface CaseQuestion {
  readonly kind: 'real' | 'sampled' | 'low' | 'still' | HardKind
  /** Source and reference exchanged. */
  readonly back?: boolean
  readonly seed: string
  /** Also hold fullness against every lag and sign of a fine grid. */
  readonly grid: boolean
}

/** What came of it. Plain data. */
export interface CaseAnswer {
  readonly name: string
  readonly knowable: boolean
  readonly verdict: 'sure' | 'unsure' | 'unknown'
  readonly wronglySure: boolean
  readonly polarityRight: boolean | null
  readonly errorMs: number | null
  /** Error over the stated uncertainty; null without either. */
  readonly ofStated: number | null
  /** By how much the fullest position that was told misses the fullest of the grid, dB; null where not asked. */
  readonly fullnessMissDb: number | null
  readonly reason: string | null
}

/** Runs in a process of `inProcesses`. */
export const answer = async ({ kind, seed, grid, back = false }: CaseQuestion): Promise<CaseAnswer> => {
  const hard = HARD_KINDS.find(k => k === kind)
  const forth =
    hard === undefined
      ? realCase(seed, { lowOnly: kind === 'low', still: kind === 'still', sampled: kind === 'sampled' })
      : hardCase(hard, seed)
  const c = back ? theOtherWayRound(forth) : forth
  const { judged, measured, sure, errorSamples, polarityRight, wronglySure } = await judgeCase(c)
  const { uncertaintySamples, lagVerdict, reason } = judged
  return {
    name: c.name,
    knowable: c.knowable,
    verdict: sure ? 'sure' : lagVerdict === 'unknown' ? 'unknown' : 'unsure',
    wronglySure,
    polarityRight,
    errorMs: errorSamples === null ? null : (1000 * errorSamples) / c.sampleRateHz,
    ofStated: errorSamples === null || uncertaintySamples === null ? null : errorSamples / uncertaintySamples,
    fullnessMissDb: grid ? fullnessMissDb(measured) : null,
    reason,
  }
}
