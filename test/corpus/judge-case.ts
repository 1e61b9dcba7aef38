import { type JudgedSource, judgeSource } from '../../src/measure/group/judged-source.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import type { MeasuredTraces } from '../../src/measure/group/measured-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import type { CorpusCase } from './case.js'
import { inPlace } from './in-place.js'

/** What the program says of a case, and what that is worth. */
export interface CaseResult {
  readonly judged: JudgedSource
  readonly measured: MeasuredTraces
  readonly sure: boolean
  /** Lag minus truth, frames; null without either. */
  readonly errorSamples: number | null
  readonly polarityRight: boolean | null
  /** `sure` where nothing is true, with the wrong sign, or more than 0.25 ms beside the truth. */
  readonly wronglySure: boolean
}

export const WRONG_MS = 0.25

export const judgeCase = async (c: CorpusCase): Promise<CaseResult> => {
  const member = (name: string, frames: number) => ({ name, channels: 1, frames, startFrame: 0 })
  const measured = await measureTraces(
    {
      sampleRateHz: c.sampleRateHz,
      members: [member('reference', c.reference.length), member('source', c.source.length)],
      reference: 0,
      searchSeconds: c.searchSeconds,
      passage: null,
    },
    inPlace([[c.reference], [c.source]]),
  )
  const judged = judgeSource(measured, solveLags(measured), 1)
  const sure = judged.lagVerdict === 'sure' && judged.polarityVerdict === 'sure'
  const truths = c.truth === null ? [] : [c.truth, ...(c.alsoTrue ?? [])]
  const { lagSamples, polarity } = judged
  // The nearest of the true answers is what it is held against.
  const truth =
    truths.sort(
      (a, b) => Math.abs(a.lagSamples - (lagSamples ?? 0)) - Math.abs(b.lagSamples - (lagSamples ?? 0)),
    )[0] ?? null
  const errorSamples = truth === null || lagSamples === null ? null : lagSamples - truth.lagSamples
  const polarityRight = truth === null || polarity === null ? null : polarity === truth.polarity
  const beside = errorSamples === null || Math.abs(errorSamples) > (WRONG_MS / 1000) * c.sampleRateHz
  return {
    judged,
    measured,
    sure,
    errorSamples,
    polarityRight,
    wronglySure:
      (judged.lagVerdict === 'sure' && (truth === null || beside)) ||
      (judged.polarityVerdict === 'sure' && polarityRight !== true),
  }
}
