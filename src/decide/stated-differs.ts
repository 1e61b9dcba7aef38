import type { Warning } from '../terms/warning.js'
import type { SourceQuestion } from './decide-source.js'
import { multiplied } from './polarities.js'
import { lagText, msText } from './words.js'

/** Recipes state times to a tenth of a millisecond; half of that, and as much again for where an arrival is read off. */
const STATED_TOLERANCE_SECONDS = 0.0001

/**
 * What the recipe states is done without question. Where the measurement is sure of something else, that is told: STATED_DIFFERS.
 * A lag contradicts beyond a tenth of a millisecond, three times its uncertainty and its arrival spread, whichever is largest.
 */
export const statedDiffers = ({
  group,
  source,
  measured,
  sampleRateHz,
  referencePolarity,
}: SourceQuestion): readonly Warning[] => {
  const told: string[] = []
  const sureLag = measured.lagVerdict === 'sure' ? measured.lagSamples : null
  if (typeof source.lag === 'object' && sureLag !== null) {
    const stated = source.lag.samples
    const tolerance = Math.max(
      STATED_TOLERANCE_SECONDS * sampleRateHz,
      3 * (measured.lagUncertaintySamples ?? 0),
      measured.arrivalSpreadSamples ?? 0,
    )
    if (Math.abs(sureLag - stated) > tolerance) {
      told.push(
        `The recipe states ${source.name} as ${lagText(stated, sampleRateHz)}, and that was done; the recording says ` +
          `${lagText(sureLag, sampleRateHz)} (${msText(sureLag - stated, sampleRateHz)} apart).`,
      )
    }
  }
  const surePolarity = measured.polarityVerdict === 'sure' ? measured.polarity : null
  if (source.polarity !== 'measured' && surePolarity !== null) {
    const heard = multiplied(surePolarity, referencePolarity)
    const done = source.polarity === 'inverted' ? 'inverted' : 'normal'
    if (heard !== done) {
      const was = done === 'inverted' ? 'was inverted' : 'was left as recorded'
      const is = heard === 'inverted' ? 'the wrong way round against' : 'the same way round as'
      told.push(
        `The polarity of ${source.name} ${was}, as the recipe states; the recording says it is ${is} the reference.`,
      )
    }
  }
  if (told.length === 0) return []
  const message = `${told.join(' ')} If the recipe is out of date, take the statement out.`
  return [{ code: 'STATED_DIFFERS', group, source: source.name, message }]
}
