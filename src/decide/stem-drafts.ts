import type { Session, SessionGroup, SessionSource } from '../recipe/session.js'
import { singleStem, stemFileName } from '../recipe/words/stem-name.js'
import { type BlendLeaf, blendLeaves, type Decided } from './blend-parts.js'
import { commonChannels, sourceChannels } from './channels.js'
import { blendOf } from './inner-blend.js'
import { aligned, placeWithin } from './place.js'

/** A stem before the timeline and the levels of the song are settled. */
export interface StemDraft {
  readonly name: string
  readonly kind: 'blend' | 'source'
  readonly group: string
  readonly fileName: string
  readonly sampleRateHz: number
  readonly channels: number
  readonly aligned: boolean
  readonly leaves: readonly BlendLeaf[]
}

/** All stems in the order of the recipe: for each group its blends, then its single sources. */
export const stemDrafts = (decided: Decided): readonly StemDraft[] =>
  decided.session.groups.flatMap(group => [
    ...group.blends.map(blend => ({
      ...common(decided.session, group, blend.name),
      kind: 'blend' as const,
      channels: commonChannels(decided.session, group, blend),
      aligned: blend.aligned,
      leaves: blendLeaves(decided, group, blend),
    })),
    ...group.sources
      .filter(source => isDelivered(decided.session, group, source))
      .map(source => singleDraft(decided, group, source)),
  ])

// `all` means the recorded files; a group inside is delivered by its own blends, or here where it is asked for by name.
const isDelivered = ({ deliver }: Session, group: SessionGroup, source: SessionSource): boolean => {
  if (deliver.stems === 'none') return false
  if (deliver.stems === 'all') return source.kind === 'file'
  return deliver.stems.some(stem => stem.group === group.name && stem.source === source.name)
}

const singleDraft = (decided: Decided, group: SessionGroup, source: SessionSource): StemDraft => {
  const { session, decisions, places } = decided
  const about = common(session, group, singleStem(group.name, source.name))
  const channels = sourceChannels(session, source)
  if (source.kind === 'group') {
    const inner = session.groups.find(({ name }) => name === source.group)!
    const leaves = blendLeaves(decided, inner, { ...blendOf(inner), aligned: true })
    return { ...about, kind: 'blend', channels, aligned: true, leaves }
  }
  const place = placeWithin(places.get(group.name)!, decisions.get(group.name)!, source, aligned)
  const leaf = { group: group.name, source, place, weight: 1, matchGainDb: 0, weightShown: 'as it is' }
  return { ...about, kind: 'source', channels, aligned: true, leaves: [leaf] }
}

const common = (session: Session, group: SessionGroup, stem: string) => ({
  name: stem,
  group: group.name,
  sampleRateHz: group.sampleRateHz,
  fileName: stemFileName(session.deliver.nameTemplate, {
    song: session.song,
    take: session.take,
    group: group.name,
    stem,
  }),
})
