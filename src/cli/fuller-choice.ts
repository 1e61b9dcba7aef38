import type { SourceMeasurement } from '../measure/measurement.js'
import { milliseconds } from '../report/words/figures.js'

/**
 * A line for a source whose two aims ask for different polarities: the other way round, at another lag, both paths sum fuller than
 * anywhere the way round of the arrival. That is a choice for the ear and never taken by itself.
 *
 * @returns null where both aims agree in polarity, or one of them has no answer.
 */
export const fullerChoice = (source: SourceMeasurement): string | null => {
  const { candidates, polarity, lagMs, lagSamples } = source
  const fullest = candidates.find(c => c.aim === 'fullness')
  if (fullest === undefined || polarity === null || fullest.polarity === polarity) return null
  if (lagMs === null || !lagSamples) return null
  const ms = (lagMs / lagSamples) * fullest.lagSamples
  const when = `${milliseconds(Math.abs(ms))} ${ms >= 0 ? 'late' : 'early'}`
  return `a choice: taken as ${fullest.polarity} and ${when}, it sums fuller over the octaves than at its arrival; hear both (aim: fullness)`
}
