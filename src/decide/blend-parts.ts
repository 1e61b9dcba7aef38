import type { Polarity, SongMeasurement } from '../measure/measurement.js'
import type { Blend, BlendPart, FileSource, Session, SessionGroup } from '../recipe/session.js'
import { gainFromDb } from '../terms/units.js'
import { commonChannels } from './channels.js'
import type { GroupDecision } from './group-decision.js'
import { blendOf } from './inner-blend.js'
import type { LevelGap } from './kept.js'
import { levelOf } from './level-gaps.js'
import { sessionGroup } from './lookup.js'
import { matchGainDb } from './match.js'
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
  readonly measurement: SongMeasurement
  /** What brings each source to the level of the reference of its group, by `group/source`. */
  readonly gaps: ReadonlyMap<string, LevelGap>
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

const unmoved = { shiftSamples: 0, polarity: 'normal' as Polarity, follow: null, pieces: null }
const untouched: MoveOf = () => ({ ...unmoved, because: 'as recorded' })
/** All of a group by what its reference is moved. */
const asOne: MoveOf = decision => ({
  shiftSamples: decision.arrivalSamples,
  polarity: decision.referencePolarity,
  follow: null,
  pieces: null,
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
  const level = (name: string) => levelOf(decided.session, decided.measurement, group, name)
  const channels = commonChannels(decided.session, group, blend)
  return blend.parts.flatMap((part): readonly BlendLeaf[] => {
    const source = group.sources.find(({ name }) => name === part.source)!
    const within = placeWithin(place, decision, source, moveOf)
    const [own, reference] = [level(part.source), level(group.reference)]
    const gap = decided.gaps.get(`${group.name}/${part.source}`)
    const match = matchGainDb(blend.match, own, reference, channels, gap)
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

const weightText = (part: BlendPart): string =>
  part.kind === 'share' ? `${Number((part.share * 100).toFixed(1))} %` : dbText(part.gainDb)
