import { fieldOf, type Located, namesOf, typedOf } from '../located.js'
import type { Session, SessionGroup } from '../session.js'
import { celsiusOf } from '../words/quantity.js'
import { alignOf } from './align.js'
import { blendsOf } from './blends.js'
import type { MeaningContext, NamedWord } from './context.js'
import { deliverOf } from './deliver.js'
import { draftGroups, type GroupDraft } from './draft.js'
import { groupOrder } from './group-order.js'
import { checkPiecesFit, holdsPieces } from './pieces-check.js'
import { checkRange, quantityAt } from './quantities.js'
import { checkRates, groupRates } from './rates.js'
import { setupOf } from './setup.js'
import { checkChannel, checkFileTwice, checkReference, checkReferenceLag } from './source-check.js'
import { sessionSource } from './sources.js'
import { checkStemNames } from './stem-names.js'

const TEMPERATURE_CELSIUS = 20
const BEATS_IN_BAR = 4
const TEMPERATURE_RANGE = { from: -40, to: 60, shown: 'from -40 C to 60 C' }

/**
 * The session that a recipe means. Goes through all of it and reports every fault on the way; where there is one, what is returned
 * lacks the faulty parts and is not to be used.
 */
export const sessionOf = (
  root: Located,
  recipe: { readonly recipeFile: string; readonly recipeShown: string },
  given: Omit<MeaningContext, 'song' | 'take'> & { readonly take: string | undefined },
): Session => {
  const take = given.take === undefined ? wordAt(fieldOf(root, 'take')) : { text: given.take, at: null }
  const song = wordAt(fieldOf(root, 'song')) ?? { text: '', at: null }
  const context: MeaningContext = { ...given, song, take }
  const groups = draftGroups(root, context)
  const order = groupOrder(groups, namesOf(fieldOf(root, 'groups')), context)
  const rates = groupRates(groups)
  checkRates(groups, rates, context)
  const sessionGroups = order.map(group =>
    sessionGroup(root, group, groups, rates.get(group.name) ?? null, context),
  )
  const deliver = deliverOf(root, recipe.recipeFile, groups, context)
  checkStemNames(root, groups, deliver, context)
  const tempo = fieldOf(root, 'tempo')
  return {
    ...recipe,
    song: song.text,
    take: take?.text ?? null,
    tempoBpm: tempo?.kind === 'scalar' && typeof tempo.value === 'number' ? tempo.value : null,
    beatsInBar: beatsInBar(root),
    temperatureCelsius: temperatureOf(root, context),
    groups: sessionGroups,
    deliver,
  }
}

const sessionGroup = (
  root: Located,
  group: GroupDraft,
  groups: ReadonlyMap<string, GroupDraft>,
  rate: number | null,
  context: MeaningContext,
): SessionGroup => {
  checkReference(group, context)
  checkReferenceLag(group, context)
  for (const source of group.sources.values()) if (source.kind === 'file') checkChannel(source, context)
  checkFileTwice(group, groups, context)
  checkPiecesFit(group, groups, context)
  const align = alignOf(group, groups, rate, context)
  const sources = [...group.sources.values()].map(source =>
    sessionSource(source, align.searchSeconds, rate, context),
  )
  return {
    name: group.name,
    reference: group.reference ?? '',
    sampleRateHz: rate ?? 0,
    sources: sources.filter(source => source !== null),
    align,
    setup: holdsPieces(group, groups) ? null : setupOf(root, group.node, context),
    blends: blendsOf(group, context),
  }
}

const wordAt = (node: Located | undefined): NamedWord | null => {
  const text = typedOf(node)
  return node === undefined || text === undefined ? null : { text, at: node.at }
}

/** The upper number of the time signature; 4 where the recipe has none. */
const beatsInBar = (root: Located): number =>
  Number.parseInt(typedOf(fieldOf(root, 'time-signature')) ?? '', 10) || BEATS_IN_BAR

const temperatureOf = (root: Located, context: MeaningContext): number => {
  const node = fieldOf(root, 'temperature')
  const temperature = quantityAt(node, 'temperature')
  if (temperature === null) return TEMPERATURE_CELSIUS
  const celsius = celsiusOf(temperature)
  checkRange(node, celsius, TEMPERATURE_RANGE, context.faults)
  return celsius
}
