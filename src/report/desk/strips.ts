import type { Plan, PlannedStem } from '../../decide/plan.js'
import type { Session, SessionGroup, SessionSource } from '../../recipe/session.js'
import * as portable from '../../terms/portable.js'
import { dbFromGain } from '../../terms/units.js'
import { deliveredLater } from '../../tone/blend-tone.js'
import type { BlendInView } from '../../tone/view-of-group.js'
import type { DeskBlend, DeskLeaf, DeskStrip } from './desk.js'

interface Song {
  readonly session: Session
  readonly plan: Plan
}

const groupNamed = ({ session }: Song, name: string): SessionGroup =>
  session.groups.find(group => group.name === name)!

/** Whether a recording belongs to a source: it is that source, or is in the group that the source is, at whatever depth. */
const holds = (song: Song, group: SessionGroup, source: SessionSource, key: string): boolean => {
  if (source.kind === 'file') return key === `${group.name}/${source.name}`
  const inner = groupNamed(song, source.group)
  return inner.sources.some(innerSource => holds(song, inner, innerSource, key))
}

const inOwnBlend = (song: Song, group: SessionGroup): PlannedStem | undefined => {
  const [blend] = group.blends
  return song.plan.stems.find(
    stem => stem.kind === 'blend' && stem.group === group.name && stem.name === blend?.name,
  )
}

/**
 * A recording that tells how its group came into an outer blend, with its gain inside the group: one of the group's own first blend, or,
 * where it has none, its reference, which no matching changes, at its equal share.
 */
const telling = (song: Song, group: SessionGroup): { readonly key: string; readonly gain: number } | null => {
  const stem = inOwnBlend(song, group)
  const turnedDown = portable.exp(-song.plan.turnDownDb * (Math.LN10 / 20))
  if (stem !== undefined) return { key: stem.parts[0]!.key, gain: stem.parts[0]!.gain / turnedDown }
  const reference = group.sources.find(({ name }) => name === group.reference)!
  const share = 1 / group.sources.length
  if (reference.kind === 'file') {
    const key = `${group.name}/${reference.name}`
    const inverted = song.plan.sources.find(source => source.key === key)?.move.polarity === 'inverted'
    return { key, gain: inverted ? -share : share }
  }
  const inner = telling(song, groupNamed(song, reference.group))
  return inner === null ? null : { key: inner.key, gain: share * inner.gain }
}

/** The gain of a source in a blend, with the sign of what is done to it, as it is after turning down. */
const gainOf = (song: Song, source: SessionSource, leaves: readonly DeskLeaf[]): number => {
  if (source.kind === 'file') return leaves[0]!.gain
  const inside = telling(song, groupNamed(song, source.group))
  const leaf = leaves.find(({ source: key }) => key === inside?.key)
  return inside === null || leaf === undefined ? leaves[0]!.gain : leaf.gain / inside.gain
}

/** The lag that a recipe would have to state for the move that was made. */
const statedLag = (song: Song, group: SessionGroup, source: SessionSource): number | null => {
  if (source.kind === 'group' || source.name === group.reference) return null
  const moveOf = (name: string) => song.plan.sources.find(({ key }) => key === `${group.name}/${name}`)?.move
  const move = moveOf(source.name)
  const reference = moveOf(group.reference)
  if (move === undefined || reference === undefined || move.follow !== null || reference.follow !== null)
    return null
  return reference.shiftSamples - move.shiftSamples + source.nudgeSamples
}

const leavesOf = ({ stem, channels }: BlendInView): readonly DeskLeaf[] =>
  stem.parts.map((part, p) => ({
    source: part.key,
    gain: part.gain,
    atSamples: part.atSamples,
    recordedGain: part.recordedGain,
    recordedAtSamples: part.recordedAtSamples,
    follow:
      part.follow?.map(knot => ({ atSeconds: knot.atSeconds, shiftSamples: knot.shiftSamples })) ?? null,
    signals: channels.map(parts => parts[p]!.signal),
    laterSamples: deliveredLater(channels[0]![p]!),
  }))

/** A delivered blend as a desk: a strip per source of its group. */
export const deskBlend = (session: Session, plan: Plan, blend: BlendInView): DeskBlend => {
  const song = { session, plan }
  const group = groupNamed(song, blend.stem.group)
  const leaves = leavesOf(blend)
  const strips = group.sources.flatMap((source): readonly DeskStrip[] => {
    const own = leaves.filter(leaf => holds(song, group, source, leaf.source))
    if (own.length === 0) return []
    const gain = gainOf(song, source, own)
    return [
      {
        source: source.name,
        isReference: source.name === group.reference,
        gainDb: dbFromGain(gain) + plan.turnDownDb,
        polarity: gain < 0 ? 'inverted' : 'normal',
        lagSamples: statedLag(song, group, source),
        nudgeSamples: source.nudgeSamples,
        leaves: own,
      },
    ]
  })
  return { name: blend.stem.name, channels: blend.stem.channels, strips }
}
