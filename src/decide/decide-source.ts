import type { Candidate, Polarity, SourceMeasurement } from '../measure/measurement.js'
import type { Align, SessionSource } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { doubtOf, doubtText, notSure } from './doubt.js'
import { fullerPolarity } from './fuller-polarity.js'
import { multiplied } from './polarities.js'
import { lagText } from './words.js'

/** What is known and wanted of one source that is not the reference. */
export interface SourceQuestion {
  readonly group: string
  readonly source: SessionSource
  readonly measured: SourceMeasurement
  readonly aim: Align['aim']
  readonly sampleRateHz: number
  /** What is done to the reference: a measured polarity is one against the reference as recorded. */
  readonly referencePolarity: Polarity
}

/** Where a source is taken to arrive, before anybody is moved. */
export interface SourceDecision {
  /** Lag that it is lined up by, frames, positive = late; null = it stays where it was recorded. */
  readonly lagSamples: number | null
  readonly polarity: Polarity
  readonly because: string
  readonly warnings: readonly Warning[]
}

/**
 * What the recipe states is done without question. What is left to the measurement is done only where that is sure: else the source
 * stays as recorded in everything that was to be measured, with a warning NOT_SURE that says what to do.
 */
export const decideSource = (question: SourceQuestion): SourceDecision => {
  const { group, source, measured } = question
  const doubt = doubtOf(source, measured)
  const doubtful = doubt === null ? null : doubtText(doubt, measured)
  const lag = decideLag(question, doubtful)
  const polarity = decidePolarity(question, doubtful)
  return {
    lagSamples: lag.lagSamples,
    polarity: polarity.polarity,
    because: [...new Set([lag.because, polarity.because])].filter(text => text !== null).join('; '),
    warnings: doubt === null ? [] : [notSure(group, source, measured, doubt)],
  }
}

const decideLag = ({ source, measured, aim, sampleRateHz }: SourceQuestion, doubtful: string | null) => {
  if (source.lag === 'as-recorded') return { lagSamples: null, because: 'lag left as recorded' }
  if (source.lag !== 'measured') {
    const { samples } = source.lag
    return { lagSamples: samples, because: `${lagText(samples, sampleRateHz)} as the recipe states` }
  }
  if (doubtful !== null) return { lagSamples: null, because: doubtful }
  const position = wanted(aim, measured)
  const note = aim === 'arrival' ? '' : position.aim === aim ? ' (fullness)' : ' (arrival: no fullness found)'
  return {
    lagSamples: position.lagSamples,
    because: `${lagText(position.lagSamples, sampleRateHz)}${note}, sure`,
  }
}

const decidePolarity = (question: SourceQuestion, doubtful: string | null) => {
  const { source, measured, aim, referencePolarity } = question
  if (source.polarity === 'inverted')
    return { polarity: 'inverted' as const, because: 'inverted as the recipe states' }
  if (source.polarity === 'as-recorded')
    return { polarity: 'normal' as const, because: 'polarity left as recorded' }
  if (doubtful !== null) return { polarity: 'normal' as const, because: doubtful }
  if (source.lag === 'as-recorded') return fullerWhereItIs(question)
  const measuredPolarity =
    source.lag === 'measured'
      ? wanted(aim, measured).polarity
      : (fullerPolarity(source.lag.samples, measured.candidates, [aim]) ?? measured.polarity ?? 'normal')
  const polarity = multiplied(measuredPolarity, referencePolarity)
  return { polarity, because: polarity === 'inverted' ? 'polarity inverted' : null }
}

const fullerWhereItIs = ({ measured, referencePolarity }: SourceQuestion) => {
  const fuller = fullerPolarity(0, measured.candidates, ['fullness', 'arrival'])
  if (fuller === null) {
    return { polarity: 'normal' as const, because: 'polarity too: which sums fuller there was not measured' }
  }
  const polarity = multiplied(fuller, referencePolarity)
  return { polarity, because: polarity === 'inverted' ? 'sums fuller inverted' : 'sums fuller as it is' }
}

// The arrival is the lag that all pairs of the group agree on; fullness is a position of its own.
const wanted = (aim: Align['aim'], measured: SourceMeasurement): Omit<Candidate, 'score'> => {
  const fullest = measured.candidates.find(candidate => candidate.aim === 'fullness')
  if (aim === 'fullness' && fullest !== undefined) return fullest
  return { aim: 'arrival', lagSamples: measured.lagSamples ?? 0, polarity: measured.polarity ?? 'normal' }
}
