import type { DeskBlend, DeskStrip } from './desk.js'
import { type Fader, faderSamples } from './faders.js'

export interface WriteDownInput {
  readonly recipeFile: string
  readonly song: string
  readonly group: string
  readonly sampleRateHz: number
  /** The group is moved by whole frames only. */
  readonly wholeFrames: boolean
  readonly blend: DeskBlend
  /** One per strip. */
  readonly faders: readonly Fader[]
}

/** Words that YAML 1.1 or 1.2 takes for something else than a text. */
const NOT_TEXT = /^(true|false|yes|no|on|off|y|n|null)$/i

/** A name as it may stand in YAML; anything but plain words in quotes. */
export const nameText = (name: string): string =>
  /^[A-Za-z][A-Za-z0-9_-]*$/.test(name) && !NOT_TEXT.test(name) ? name : JSON.stringify(name)

/** So many decimals at most, without zeros at the end. */
export const numberText = (value: number, places: number): string => String(Number(value.toFixed(places)))

const TURNED = { normal: 'inverted', inverted: 'normal' } as const
const POLARITY = { normal: 'as-recorded', inverted: 'inverted' } as const

/** What a source needs so that it comes out as heard; null where the recipe says it already. */
const sourceText = (
  input: WriteDownInput,
  strip: DeskStrip,
  fader: Fader,
  referenceTurned: boolean,
): string | null => {
  const { sampleRateHz, wholeFrames } = input
  const later = faderSamples(fader, sampleRateHz, wholeFrames)
  const nudgeMs = ((strip.nudgeSamples + later) * 1000) / sampleRateHz
  const says = [
    ...(later !== 0 && strip.lagSamples !== null ? [`lag: ${numberText(strip.lagSamples, 4)} samples`] : []),
    ...(later !== 0 ? [`nudge: ${numberText(nudgeMs, 6)} ms`] : []),
    // A measured polarity is one against the reference: with that turned, the others say theirs.
    ...(fader.turned || referenceTurned
      ? [`polarity: ${POLARITY[fader.turned ? TURNED[strip.polarity] : strip.polarity]}`]
      : []),
  ]
  return says.length === 0 ? null : `      ${nameText(strip.source)}: { ${says.join(', ')} }`
}

/** What stands above lines for a recipe: what to do with them. */
export const linesHead = (recipeFile: string, song: string): readonly string[] => [
  '# Lines for the recipe: merge them into it, or save them as a recipe of their own beside it,',
  `# with these three lines on top (base: needs the recipe's file name):`,
  '#   recipe: 1',
  `#   base: ${JSON.stringify(recipeFile)}`,
  `#   song: ${JSON.stringify(song)}`,
]

/**
 * The lines for the recipe that make a render give what the faders stand at: lag, nudge and polarity of the sources that were touched, and
 * the parts of the blend in dB. They hold for every blend of the group. A source that is off is no part of the blend.
 */
export const writtenDown = (input: WriteDownInput): string => {
  const { blend, faders } = input
  const set = blend.strips.map((strip, s) => ({ strip, fader: faders[s]! }))
  const referenceTurned = set.some(({ strip, fader }) => strip.isReference && fader.turned)
  const sources = set.flatMap(({ strip, fader }) => sourceText(input, strip, fader, referenceTurned) ?? [])
  const parts = set
    .filter(({ fader }) => !fader.off)
    .map(({ strip, fader }) => `${nameText(strip.source)}: ${numberText(strip.gainDb + fader.gainDb, 4)} dB`)
  return [
    ...linesHead(input.recipeFile, input.song),
    'groups:',
    `  ${nameText(input.group)}:`,
    ...(sources.length > 0 ? ['    sources:', ...sources] : []),
    '    blends:',
    `      ${nameText(blend.name)}: { parts: { ${parts.join(', ')} }, match: none }`,
    '',
  ].join('\n')
}
