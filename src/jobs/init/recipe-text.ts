import { fixed } from '../../terms/figure-text.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Guess, GuessedGroup, GuessedSource } from './guess.js'

/** A recipe from a guess, with a comment at every guess. It is sound by construction; `init` reads it back before it leaves it there. */
export const recipeText = (guess: Guess): string =>
  [
    ...comment([
      'Written by "sumwell init". Groups were found by the sound that files share, not by their names alone; every guess',
      'says what it rests on. Put right what is wrong, then:  sumwell check  and  sumwell render',
    ]),
    '',
    'recipe: 1',
    `song: ${quoted(guess.song)}`,
    ...takeLines(guess),
    'temperature: 20 C # of the room on that day: turns lag into distance',
    '',
    ...groupLines(guess),
    ...aloneLines(guess),
    ...leftOutLines(guess),
    '',
    'deliver:',
    `  folder: ${quoted(guess.take === null ? 'stems/{song}' : 'stems/{song}-take{take}')}`,
    '',
  ].join('\n')

const comment = (lines: readonly string[]): readonly string[] => lines.map(line => `# ${line}`)

const takeLines = ({ take, earlierTakes }: Guess): readonly string[] => {
  if (take === null) return []
  const all = [...earlierTakes, take].map(quoted).join(', ')
  const pooled = `# takes: [${all}] # if nothing was moved between them: then they are measured as one`
  return [`take: ${quoted(take)}${takeNote(earlierTakes)}`, ...(earlierTakes.length === 0 ? [] : [pooled])]
}

const takeNote = (earlier: readonly string[]): string =>
  earlier.length === 0
    ? ''
    : ` # the latest; there ${earlier.length === 1 ? 'is' : 'are'} also ${earlier.join(', ')}`

const groupLines = ({ groups, alone }: Guess): readonly string[] => {
  if (groups.length > 0) return ['groups:', ...groups.flatMap(oneGroup)]
  // A recipe needs a group: the files as they are, to start from.
  return [
    '# No two files share their sound: each stands in a group of its own, as it was recorded.',
    'groups:',
    ...alone.flatMap(({ written }, i) => [
      `  track-${i + 1}:`,
      '    reference: only',
      `    sources: { only: ${quoted(written)} }`,
    ]),
  ]
}

const oneGroup = (group: GuessedGroup): readonly string[] => [
  ...(group.severalInstruments
    ? [
        '  # Several instruments that hear each other. What belongs to one of them lines up best in a group of its own, which is',
        '  # then a source of this one: see "Groups in groups" in docs/recipe.md, and recipes/kick-in-kit.yaml.',
      ]
    : []),
  `  ${quoted(group.name)}:`,
  `    reference: ${quoted(group.reference)} # ${REFERENCE[group.referenceBecause]}`,
  '    sources:',
  ...group.sources.flatMap(source => sourceLines(source, group)),
  ...(group.searchMs === null
    ? []
    : ['    align:', `      search: ${group.searchMs} ms # a path arrives later than the usual 40 ms`]),
  '    blends:',
  `      ${quoted(group.name)}: { parts: { ${partsOf(group)} } } # shares to begin with: set them by ear`,
]

const REFERENCE = {
  name: 'by its name: no air delays it',
  'arrives first': 'no name told a direct path: this one arrives first',
} as const

const sourceLines = (source: GuessedSource, group: GuessedGroup): readonly string[] => {
  const via = source.via === null ? '' : `, via: ${source.via}`
  const isReference = source.name === group.reference
  return [
    `      # ${sourceNote(source, isReference)}`,
    `      ${quoted(source.name)}: { file: ${quoted(source.written)}${via} }`,
  ]
}

/** What the measurement said, and whether the path is from the name. */
const sourceNote = (source: GuessedSource, isReference: boolean): string => {
  const path =
    source.viaFrom === 'name'
      ? 'path by its name'
      : source.viaFrom === 'arrival'
        ? 'via: a guess from how late it arrives'
        : 'via: not known'
  const channels = source.channels > 1 ? `; ${source.channels} channels, moved as one` : ''
  return `${isReference ? path : `${measuredWords(source)}; ${path}`}${channels}`
}

/** What one coarse look at a source found: "shares 83 % of its sound with the reference, about 2.0 ms late". */
export const measuredWords = (source: GuessedSource): string => {
  if (source.commonEnergy === null || source.lagMs === null)
    return 'tied to the group by another of its tracks'
  const late = `${fixed(Math.abs(source.lagMs), 1)} ms ${source.lagMs < 0 ? 'early' : 'late'}`
  const turned = source.polarity === 'inverted' ? ', the other way round' : ''
  return `shares ${fixed(100 * source.commonEnergy, 0)} % of its sound with the reference, about ${late}${turned}`
}

/** A second part shares at least so much of what the best one shares with the reference. */
const HALF = 0.5

/** Equal shares for two: the reference, and of those that share much with it the one that arrives first, a close microphone before the room. */
const partsOf = (group: GuessedGroup): string => {
  const [reference, ...others] = group.sources
  const most = Math.max(0, ...others.map(({ commonEnergy }) => commonEnergy ?? 0))
  const second = others.find(({ commonEnergy }) => (commonEnergy ?? 0) >= HALF * most)
  return [reference!, ...(second === undefined ? [] : [second])]
    .map(({ name }) => `${quoted(name)}: 50`)
    .join(', ')
}

const aloneLines = ({ groups, alone }: Guess): readonly string[] => {
  if (alone.length === 0 || groups.length === 0) return []
  return [
    '',
    '  # These share their sound with no other file. To deliver one beside the rest, as it is, take away the # before its lines:',
    ...alone.flatMap(({ written, why }, i) => [
      `  # track-${i + 1}: # ${why}`,
      '  #   reference: only',
      `  #   sources: { only: ${quoted(written)} }`,
    ]),
  ]
}

const leftOutLines = ({ leftOut }: Guess): readonly string[] =>
  leftOut.length === 0
    ? []
    : [
        '',
        ...comment([
          'Left out:',
          ...leftOut.map(({ shown, why }) => `  ${visibleText(shown)}: ${visibleText(why)}`),
        ]),
      ]

/** A plain word where YAML reads it as the text that it is, else a quoted one: JSON strings are YAML strings. */
const quoted = (text: string): string =>
  /^([\p{L}][\p{L}\p{M}\p{N}_+-]*|[1-9]\d{0,8})$/u.test(text) &&
  !/^(true|false|null|y|n|yes|no|on|off|nan|inf)$/i.test(text)
    ? text
    : JSON.stringify(text)
