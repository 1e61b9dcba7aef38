import type { SongMeasurement } from '../../measure/measurement.js'
import { fileOf } from '../../measure/session/session-source.js'
import type { Session, SessionGroup, SessionSource } from '../../recipe/session.js'
import { ownValue } from '../../terms/own-value.js'
import type { Contents } from '../cache/contents.js'
import type { Lock, LockedGroup, LockedSource } from '../lock.js'
import { setupOf } from './setup-of.js'
import { sameSound, soundOf } from './sound-of.js'

/** Whose moves are to be decided anew though the lock has them. */
export type Remeasure = 'nothing' | 'everything' | readonly string[]

/** Why a source is not taken from the lock; null where it is. */
export type WhyAnew =
  | 'new source'
  | 'new recording'
  | 'new reference recording'
  | 'measured otherwise'
  | 'time stamp'
  | 'asked for'

/** What the lock has for one source, and whether it stands. */
export interface Standing {
  readonly group: string
  readonly source: string
  readonly locked: LockedSource | null
  /** Null: what the lock says stands. */
  readonly anew: WhyAnew | null
  /** What the lock says of the balance stands. */
  readonly balanceStands: boolean
}

/**
 * Every source of a session against the lock. A lag stands while the recording and that of the reference sound the same, and it would be
 * measured in the same way. A balance stands until other ones are asked for: a re-take does not change it.
 */
export const standingOf = (
  session: Session,
  measurement: SongMeasurement,
  contents: Contents,
  lock: Lock | null,
  remeasure: Remeasure,
): readonly Standing[] =>
  session.groups.flatMap(group => {
    const lockedGroup = ownValue(lock?.groups, group.name) ?? null
    const asked = remeasure === 'everything' || (remeasure !== 'nothing' && remeasure.includes(group.name))
    const reference = group.sources.find(({ name }) => name === group.reference)!
    return group.sources.map((source): Standing => {
      const locked = ownValue(lockedGroup?.sources, source.name) ?? null
      const startOffset = measurement.groups
        .find(({ name }) => name === group.name)
        ?.sources.find(({ name }) => name === source.name)?.startOffsetSamples
      return {
        group: group.name,
        source: source.name,
        locked,
        balanceStands: locked !== null && !asked && lockedGroup?.reference === group.reference,
        anew:
          lockedGroup === null || locked === null
            ? 'new source'
            : asked
              ? 'asked for'
              : whyAnew(session, group, source, reference, lockedGroup, locked, contents, startOffset ?? 0),
      }
    })
  })

const whyAnew = (
  session: Session,
  group: SessionGroup,
  source: SessionSource,
  reference: SessionSource,
  lockedGroup: LockedGroup,
  locked: LockedSource,
  contents: Contents,
  startOffsetSamples: number,
): WhyAnew | null => {
  const same = (one: SessionSource, before: LockedSource | undefined): boolean =>
    before !== undefined && sameSound(soundOf(fileOf(session, one), contents), before)
  if (!same(source, locked)) return 'new recording'
  if (lockedGroup.reference !== group.reference || !isMeasuredAlike(group, lockedGroup, locked))
    return 'measured otherwise'
  if (!same(reference, ownValue(lockedGroup.sources, reference.name))) return 'new reference recording'
  return locked.startOffsetSamples === startOffsetSamples ? null : 'time stamp'
}

const isMeasuredAlike = (group: SessionGroup, before: LockedGroup, source: LockedSource): boolean => {
  const { sampleRateHz, align } = group
  return (
    before.sampleRateHz === sampleRateHz &&
    JSON.stringify(before.setup) === JSON.stringify(setupOf(group).setup) &&
    (before.searchSeconds === align.searchSeconds || isFound(source, align.searchSeconds * sampleRateHz)) &&
    before.slate === align.slate &&
    JSON.stringify(before.passage) === JSON.stringify(align.passage)
  )
}

/** What is sure is found by any search that reaches it: a re-amped pass makes the search of its group wider, and changes nothing else. */
const isFound = ({ lagVerdict, polarityVerdict, lagSamples }: LockedSource, searchSamples: number): boolean =>
  lagVerdict === 'sure' && polarityVerdict === 'sure' && Math.abs(lagSamples ?? Infinity) <= searchSamples
