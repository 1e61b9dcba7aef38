import type { SourceMeasurement, Verdict } from '../measure/measurement.js'
import type { SessionSource } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'

/** What the measurement was asked for and is not sure of. */
export interface Doubt {
  readonly about: 'lag' | 'polarity'
  readonly verdict: Exclude<Verdict, 'sure'>
}

/**
 * The worse of the verdicts that this source needs; null where all of them are `sure`. What the recipe states needs no verdict.
 * The lag goes first where both are equally doubtful: without it the polarity means little.
 */
export const doubtOf = (source: SessionSource, measured: SourceMeasurement): Doubt | null => {
  const lag: Verdict =
    source.lag !== 'measured' ? 'sure' : measured.lagSamples === null ? 'unknown' : measured.lagVerdict
  const polarity: Verdict =
    source.polarity !== 'measured'
      ? 'sure'
      : measured.polarity === null
        ? 'unknown'
        : measured.polarityVerdict
  if (lag !== 'sure' && (lag === 'unknown' || polarity !== 'unknown')) return { about: 'lag', verdict: lag }
  return polarity === 'sure' ? null : { about: 'polarity', verdict: polarity }
}

/** For the plan: "lag unknown (coherence 0.04): as recorded". */
export const doubtText = (doubt: Doubt, measured: SourceMeasurement): string => {
  const coherence = measured.coherence === null ? '' : ` (coherence ${measured.coherence.toFixed(2)})`
  return `${doubt.about} ${doubt.verdict}${coherence}: as recorded`
}

/** NOT_SURE: what it means for this source, and how to settle it. The measurement's own reason says what to do, where it has one. */
export const notSure = (
  group: string,
  source: SessionSource,
  measured: SourceMeasurement,
  doubt: Doubt,
): Warning => {
  const stays =
    source.lag === 'measured' ? 'It stays entirely as recorded.' : 'Its polarity stays as recorded.'
  return {
    code: 'NOT_SURE',
    group,
    source: source.name,
    message: [
      `The ${doubt.about} of ${source.name} is ${doubt.verdict}.`,
      stays,
      measured.reason === null ? howToSettle(source) : asSentence(measured.reason),
    ].join(' '),
  }
}

const howToSettle = (source: SessionSource): string => {
  const state = [
    source.lag === 'measured' ? '`lag: …`' : null,
    source.polarity === 'measured' ? '`polarity: inverted` or `polarity: as-recorded`' : null,
  ].filter(text => text !== null)
  return (
    'To settle it, measure a passage in which both paths sound (`align.passage`), or listen and state ' +
    `${state.join(' and ')} in the recipe.`
  )
}

const asSentence = (text: string): string => {
  const first = text.charAt(0).toUpperCase() + text.slice(1)
  return /[.!?]$/.test(first) ? first : `${first}.`
}
