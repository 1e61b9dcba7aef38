import type { Polarity, SourceMeasurement } from '../measure/measurement.js'
import type { Blend, BlendPart, FileSource, Session, SessionGroup, SessionSource } from '../recipe/session.js'
import { gainFromDb } from '../terms/units.js'
import { commonChannels, sourceChannels } from './channels.js'
import type { GroupDecision } from './group-decision.js'
import { blendOf } from './inner-blend.js'
import { sessionGroup, sourceMeasurement } from './lookup.js'
import { matchGainDb, type PartLevel } from './match.js'
import { aligned, type MoveOf, type Place, placeWithin } from './place.js'
import { dbText } from './words.js'

/** One file inside a blend, with everything that the groups on the way to it do to it. */
export interface BlendLeaf {
  readonly group: string
  readonly source: FileSource
  readonly place: Place
  /** Amplitude without the sign of its polarity: shares, dB and match gains multiplied. */
  readonly weight: number
  readonly matchGainDb: number
  readonly weightShown: string
}

/** What the decisions say of the whole song. */
export interface Decided {
  readonly session: Session
  readonly decisions: ReadonlyMap<string, GroupDecision>
  readonly places: ReadonlyMap<string, Place>
}

/**
 * A blend as a flat list of files. A part that names a group means that group's blend: gains multiply, shifts add, polarities multiply.
 * A group inside whose own blend is not aligned moves as one and keeps its inner relations as recorded.
 */
export const blendLeaves = (decided: Decided, group: SessionGroup, blend: Blend): readonly BlendLeaf[] => {
  const place = decided.places.get(group.name)!
  return blend.aligned
    ? leavesWithin(decided, group, blend, place, aligned)
    : leavesWithin(decided, group, blend, { ...place, ...unmoved, because: [] }, untouched)
}

const unmoved = { shiftSamples: 0, polarity: 'normal' as Polarity, follow: null }
const untouched: MoveOf = () => ({ ...unmoved, because: 'as recorded' })
/** All of a group by what its reference is moved. */
const asOne: MoveOf = decision => ({
  shiftSamples: decision.arrivalSamples,
  polarity: decision.referencePolarity,
  follow: null,
  because: 'as recorded inside its group',
})

const leavesWithin = (
  decided: Decided,
  group: SessionGroup,
  blend: Blend,
  place: Place,
  moveOf: MoveOf,
): readonly BlendLeaf[] => {
  const decision = decided.decisions.get(group.name)!
  const level = levels(decided, group)
  const channels = commonChannels(decided.session, group, blend)
  return blend.parts.flatMap((part): readonly BlendLeaf[] => {
    const source = group.sources.find(({ name }) => name === part.source)!
    const within = placeWithin(place, decision, source, moveOf)
    const match = matchGainDb(blend.match, level(part.source), level(group.reference), channels)
    const weight = (part.kind === 'share' ? part.share : gainFromDb(part.gainDb)) * gainFromDb(match)
    if (source.kind === 'file') {
      return [
        {
          group: group.name,
          source,
          place: within,
          weight,
          matchGainDb: match,
          weightShown: weightText(part),
        },
      ]
    }
    const inner = sessionGroup(decided.session, source.group)
    const innerBlend = blendOf(inner)
    const innerMove = moveOf === aligned ? (innerBlend.aligned ? aligned : asOne) : untouched
    return leavesWithin(decided, inner, innerBlend, within, innerMove).map(leaf => ({
      ...leaf,
      weight: weight * leaf.weight,
      matchGainDb: match + leaf.matchGainDb,
      weightShown: `${weightText(part)} × ${leaf.weightShown}`,
    }))
  })
}

/** The level of a group is that of its reference, since its blend brings the others to that. */
const levels =
  (decided: Decided, group: SessionGroup) =>
  (name: string): PartLevel => {
    const source = group.sources.find(candidate => candidate.name === name)!
    const { measured, channels } = levelSource(decided, group, source)
    return { measured, channels, sampleRateHz: group.sampleRateHz }
  }

const levelSource = (
  decided: Decided,
  group: SessionGroup,
  source: SessionSource,
): { measured: SourceMeasurement; channels: number } => {
  if (source.kind === 'file') {
    const measured = sourceMeasurement(decided.decisions.get(group.name)!.measured, source.name)
    return { measured, channels: sourceChannels(decided.session, source) }
  }
  const inner = sessionGroup(decided.session, source.group)
  return levelSource(decided, inner, inner.sources.find(({ name }) => name === inner.reference)!)
}

const weightText = (part: BlendPart): string =>
  part.kind === 'share' ? `${Number((part.share * 100).toFixed(1))} %` : dbText(part.gainDb)
