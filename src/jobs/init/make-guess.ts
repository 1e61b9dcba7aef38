import { basename, extname } from 'node:path'
import type { Relation } from '../../measure/relatives/related-files.js'
import type { WaveFacts } from '../../recipe/session.js'
import type { LeftOut } from './find-recordings.js'
import type { Guess, GuessedGroup, GuessedSource } from './guess.js'
import { guessGroups, guessReference, isTie, type Tie } from './guess-groups.js'
import { commonWords, type NameHints, nameHints } from './names.js'

export interface RecordingToGuess {
  readonly shown: string
  readonly written: string
  readonly facts: WaveFacts
  readonly silent: boolean
}

export interface GuessInput {
  readonly song: string
  readonly take: string | null
  readonly earlierTakes: readonly string[]
  readonly recordings: readonly RecordingToGuess[]
  /** Indices into the recordings. */
  readonly relations: readonly Relation[]
  readonly leftOut: readonly LeftOut[]
}

/** A path this late or later against the reference has been through air or a loudspeaker. */
const AIR_MS = 0.3
const USUAL_SEARCH_MS = 40
const MOST_IN_GROUP = 64

/** Groups, references, names and paths from what the files share and what they are called. Decides nothing that a recipe would not show. */
export const makeGuess = (input: GuessInput): Guess => {
  const { recordings, relations } = input
  const hints = recordings.map(({ shown }) => nameHints(basename(shown, extname(shown))))
  const found = guessGroups(hints, relations).map(members => members.slice(0, MOST_IN_GROUP))
  const ties = relations.filter(isTie)
  const names = groupNames(found, hints)
  const groups = found.map((members, g) => groupOf(members, names[g]!, recordings, hints, ties))
  const inGroups = new Set(found.flat())
  return {
    song: input.song,
    take: input.take,
    earlierTakes: input.earlierTakes,
    groups,
    alone: recordings.flatMap(({ shown, written }, i) =>
      inGroups.has(i) ? [] : [{ file: shown, written, why: whyAlone(i, recordings) }],
    ),
    leftOut: input.leftOut,
  }
}

/** A rate that no other file has, beside files of one rate, is more often a wrong label than a wish. */
const whyAlone = (i: number, recordings: readonly RecordingToGuess[]): string => {
  const { silent, facts } = recordings[i]!
  if (silent) return 'silent'
  const others = recordings.filter((_, j) => j !== i).map(other => other.facts.sampleRateHz)
  const [rate] = others
  return rate !== undefined && rate !== facts.sampleRateHz && others.every(other => other === rate)
    ? `its header says ${facts.sampleRateHz} Hz, that of all others ${rate} Hz: it could not be compared; see whether the header is right`
    : 'shares its sound with no other file'
}

const groupOf = (
  members: readonly number[],
  name: string,
  recordings: readonly RecordingToGuess[],
  hints: readonly NameHints[],
  ties: readonly Tie[],
): GuessedGroup => {
  const { reference, because } = guessReference(members, hints, ties)
  const rate = recordings[reference]!.facts.sampleRateHz
  const shared = [...commonWords(members.map(i => hints[i]!.words)), ...name.split('-')]
  const sources = members.map(i => {
    const tie = ties.find(t => touchesBoth(t, i, reference))
    const lag = tie === undefined ? null : tie.first === reference ? tie.lagSamples : -tie.lagSamples
    const lagMs = lag === null ? null : (1000 * lag) / rate
    return {
      name: sourceName(hints[i]!, shared, recordings[i]!.shown),
      file: recordings[i]!.shown,
      written: recordings[i]!.written,
      ...viaOf(hints[i]!, i === reference, lagMs),
      channels: recordings[i]!.facts.channels,
      commonEnergy: tie?.commonEnergy ?? null,
      coherence: tie?.coherence ?? null,
      lagMs,
      polarity: tie?.polarity ?? null,
    }
  })
  const distinct = withDistinctNames(sources)
  const ordered = [...distinct].sort((a, b) => arrival(a) - arrival(b))
  const first = distinct[members.indexOf(reference)]!
  const latest = Math.max(0, ...sources.map(({ lagMs }) => Math.abs(lagMs ?? 0)))
  return {
    name,
    reference: first.name,
    referenceBecause: because,
    severalInstruments: hasSeveral(members.flatMap(i => hints[i]!.instrument.join(' ') || [])),
    sources: [first, ...ordered.filter(source => source !== first)],
    sampleRateHz: rate,
    searchMs: latest > 0.8 * USUAL_SEARCH_MS ? 10 * Math.ceil((1.5 * latest) / 10) : null,
  }
}

/** By their names the files are of two instruments or more, of which one has several files: a kit rather than two names for one thing. */
const hasSeveral = (instruments: readonly string[]): boolean => {
  const kinds = new Set(instruments).size
  return kinds > 1 && kinds < instruments.length
}

const touchesBoth = (tie: Tie, i: number, j: number): boolean =>
  (tie.first === i && tie.second === j) || (tie.first === j && tie.second === i)

const arrival = ({ lagMs }: GuessedSource): number => lagMs ?? Number.POSITIVE_INFINITY

const viaOf = (
  hints: NameHints,
  isReference: boolean,
  lagMs: number | null,
): Pick<GuessedSource, 'via' | 'viaFrom'> => {
  if (hints.via !== null) return { via: hints.via, viaFrom: 'name' }
  if (!isReference && lagMs !== null && lagMs >= AIR_MS) return { via: 'mic', viaFrom: 'arrival' }
  return { via: null, viaFrom: null }
}

const asName = (words: readonly string[]): string => words.join('-').slice(0, 48)

/** What the names of the members have in common; else a number. */
const groupNames = (
  groups: readonly (readonly number[])[],
  hints: readonly NameHints[],
): readonly string[] => {
  const taken = new Set<string>()
  return groups.map((members, g) => {
    const common = commonWords(members.map(i => hints[i]!.instrument))
    const anyone = members.map(i => hints[i]!.instrument).find(words => words.length > 0) ?? []
    const wished = asName(common) || (members.length > 1 ? asName(anyone) : '') || `group-${g + 1}`
    return unused(wished, taken)
  })
}

/** What is left of the words when those of the whole group are taken away; else the name of the file. */
const sourceName = (hints: NameHints, shared: readonly string[], shown: string): string => {
  const own = hints.words.filter(word => !shared.includes(word))
  const file = basename(shown, extname(shown))
    .replace(/[^\p{L}\p{M}\p{N} _.+-]+/gu, '-')
    .replace(/^[^\p{L}\p{N}]+/u, '')
  return asName(own) || file.slice(0, 48).trimEnd() || 'track'
}

const withDistinctNames = (sources: readonly GuessedSource[]): readonly GuessedSource[] => {
  const taken = new Set<string>()
  return sources.map(source => ({ ...source, name: unused(source.name, taken) }))
}

const unused = (wished: string, taken: Set<string>): string => {
  let name = wished
  for (let n = 2; taken.has(name.toLowerCase()); n++) name = `${wished}-${n}`
  taken.add(name.toLowerCase())
  return name
}
