import { cleanName } from './clean-name.js'
import { fillIn } from './placeholders.js'

/** What the placeholders of `deliver.name` stand for. */
export interface StemWords {
  readonly song: string
  readonly take: string | null
  readonly group: string
  /** The blend's name, or `singleStem(group, source)`. */
  readonly stem: string
}

/** The placeholders of `deliver.name`. */
export const NAME_WORDS: readonly string[] = ['song', 'take', 'group', 'stem']

export const DEFAULT_NAME_TEMPLATE = '{song}_{stem}'

/** Name of a delivered single source in the recipe's terms: `upright-bass_bridge`. */
export const singleStem = (group: string, source: string): string => `${group}_${source}`

/**
 * File name of a stem: the template filled in, cleaned to letters, digits and underscores, with `.wav`.
 * `{song}_{stem}` for the blend `bass-roomy` of Lantern Street gives `lantern_street_bass_roomy.wav`.
 * A name that some systems keep for devices gets an underscore; nothing left gives `.wav`, which the recipe check refuses.
 */
export const stemFileName = (template: string, words: StemWords): string => {
  const values = new Map(Object.entries({ ...words, take: words.take ?? '' }))
  const name = cleanName(fillIn(template, values))
  return `${DEVICE_NAMES.test(name) ? `${name}_` : name}.wav`
}

const DEVICE_NAMES = /^(con|prn|aux|nul|com[0-9]|lpt[0-9])$/
