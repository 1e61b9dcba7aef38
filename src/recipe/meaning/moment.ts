import { type Located, textOf } from '../located.js'
import { clockSeconds } from '../words/passage.js'
import { quantityOf, samplesOf } from '../words/quantity.js'

/** A moment of a recipe in whole frames; null where there is none, or one of a wrong form, which the shape check has reported. */
export const momentAt = (node: Located | undefined, sampleRateHz: number): number | null => {
  const text = textOf(node)
  if (text === undefined) return null
  const seconds = clockSeconds(text)
  if (seconds !== null) return Math.round(seconds * sampleRateHz)
  const time = quantityOf('time', text)
  return time === null ? null : Math.round(samplesOf(time, sampleRateHz)!)
}
