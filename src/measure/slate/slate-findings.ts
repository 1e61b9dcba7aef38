import type { Pooled } from '../../terms/task.js'
import { msFromSamples } from '../../terms/units.js'
import type { Warning, WarningCode } from '../../terms/warning.js'
import type { JudgedSource } from '../group/judged-source.js'
import type { Polarity, SlateMeasurement } from '../measurement.js'
import type { measureTasks } from '../tasks.js'
import { type SlateLag, type SlateQuestion, type SlateTrouble, slateLags } from './slate-lags.js'

export interface SlateFindings {
  /** Per track, as it was or with what the slate settled. */
  readonly judged: readonly (JudgedSource | null)[]
  readonly slates: readonly (SlateMeasurement | null)[]
  readonly warnings: readonly Warning[]
}

/** What is played and the slate may differ by so much: half of what a wrong answer is. */
const AGREE_SECONDS = 0.00025

/**
 * Hears the slates that the recipe names. What was not sure takes lag and polarity from the slate; what was sure keeps them, and a
 * slate that contradicts is told.
 */
export const slateFindings = async (
  question: SlateQuestion & { readonly judged: readonly (JudgedSource | null)[] },
  tasks: Pooled<typeof measureTasks>,
): Promise<SlateFindings> => {
  const { group, tracks } = question
  const found = await slateLags(question, tasks)
  const judged: (JudgedSource | null)[] = []
  const slates: (SlateMeasurement | null)[] = []
  const warnings: Warning[] = []
  question.judged.forEach((source, i) => {
    const slate = found[i] ?? null
    const tell = (code: WarningCode, message: string): void => {
      warnings.push({ code, group: group.name, source: tracks[i]!.source.name, message })
    }
    if (source === null || slate === null || slate.kind !== 'found') {
      judged.push(source)
      slates.push(null)
      if (slate !== null && slate.kind !== 'found')
        tell('SLATE_NOT_FOUND', troubleSentence(slate.kind, group.reference))
      return
    }
    const agrees =
      source.lagSamples !== null &&
      Math.abs(source.lagSamples - slate.lagSamples) <= AGREE_SECONDS * group.sampleRateHz
    const polarity: Polarity = slate.sign === 1 ? 'normal' : 'inverted'
    const lagSure = source.lagVerdict === 'sure'
    const polaritySure = source.polarityVerdict === 'sure'
    const contradicts = (lagSure && !agrees) || (lagSure && polaritySure && source.polarity !== polarity)
    const used = !contradicts && !(lagSure && polaritySure)
    if (contradicts) tell('SLATE_DIFFERS', differsSentence(source, slate, group.sampleRateHz))
    judged.push(used ? settled(source, slate, polarity, lagSure) : source)
    slates.push({
      lagSamples: slate.lagSamples,
      lagUncertaintySamples: slate.uncertaintySamples,
      arrivalSpreadSamples: slate.spreadSamples,
      polarity,
      used,
      groupDelay: slate.groupDelay,
    })
  })
  return { judged, slates, warnings }
}

type Found = Extract<SlateLag, { kind: 'found' }>

const settled = (
  source: JudgedSource,
  slate: Found,
  polarity: Polarity,
  keepsLag: boolean,
): JudgedSource => ({
  ...source,
  ...(keepsLag
    ? {}
    : {
        lagSamples: slate.lagSamples,
        uncertaintySamples: slate.uncertaintySamples,
        spreadSamples: slate.spreadSamples,
        candidates: [
          {
            aim: 'arrival' as const,
            lagSamples: slate.lagSamples,
            polarity,
            score: Math.min(1, slate.score),
          },
          ...source.candidates,
        ],
      }),
  polarity,
  lagVerdict: 'sure',
  polarityVerdict: 'sure',
  reason: null,
})

const differsSentence = (source: JudgedSource, slate: Found, sampleRateHz: number): string => {
  const ms = (samples: number): string => `${msFromSamples(samples, sampleRateHz).toFixed(2)} ms`
  const way = (inverted: boolean): string => (inverted ? 'inverted' : 'normal')
  return `By the slate it is ${ms(slate.lagSamples)} late and ${way(slate.sign === -1)}; by what was played ${ms(source.lagSamples ?? 0)} and ${way(source.polarity === 'inverted')}. What was played counts. Was the slate's loudspeaker where the instrument is, and was nothing moved since?`
}

const troubleSentence = (trouble: SlateTrouble, reference: string): string => {
  const again =
    'Play it once through all paths at the same time, loud enough to stand out, and with nothing else playing.'
  switch (trouble) {
    case 'none':
      return `No slate is heard on this source. ${again}`
    case 'none in reference':
      return `No slate is heard on ${reference}, so there is nothing to hold this one against. ${again}`
    case 'apart':
      return `The slate here and that on ${reference} are further apart than the search: not one playing, or files that do not start together. Widen the search (search:), or name a file for each (slate:).`
    case 'unclear':
      return `The slate is heard, but its two sweeps, or the channels, do not give one clear answer. ${again}`
  }
}
