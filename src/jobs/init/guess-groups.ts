import type { Relation } from '../../measure/relatives/related-files.js'
import type { NameHints } from './names.js'

/** A relation that counts: both files were recorded from one performance of one thing. */
export type Tie = Relation & {
  readonly related: true
  readonly commonEnergy: number
  readonly lagSamples: number
}

/**
 * So much of their sound two tracks of one instrument share at least. Seen on the demo song: a room microphone shares 0.89 with its
 * reference, two instruments in one key up to 0.11.
 */
const SHARED = 0.15
/** The same where the names speak for it, or against it. */
const SHARED_SAME_NAME = 0.04
const SHARED_OTHER_NAME = 0.4
/** Bleed is far below what a track shares with its own kind: a tie counts from this part of the stronger ties of both. */
const OF_BEST = 0.25

/**
 * Sorts files into groups by what they share: ties that are strong enough, then everything that hangs together. Names move the limit,
 * they never join what shares nothing. Files in no group stand alone. Groups and their members come in the order of the files.
 */
export const guessGroups = (
  hints: readonly NameHints[],
  relations: readonly Relation[],
): readonly (readonly number[])[] => {
  const ties = relations.filter(isTie)
  const best = hints.map((_, i) =>
    ties.reduce((most, tie) => (touches(tie, i) ? Math.max(most, tie.commonEnergy) : most), 0),
  )
  const strong = ties.filter(
    tie =>
      tie.commonEnergy >= limitOf(hints[tie.first]!, hints[tie.second]!) &&
      tie.commonEnergy >= OF_BEST * Math.min(best[tie.first]!, best[tie.second]!),
  )
  const group = hints.map((_, i) => i)
  const rootOf = (i: number): number => (group[i] === i ? i : rootOf(group[i]!))
  for (const { first, second } of strong) {
    const [a, b] = [rootOf(first), rootOf(second)]
    group[Math.max(a, b)] = Math.min(a, b)
  }
  return hints
    .map((_, i) => i)
    .filter(i => rootOf(i) === i)
    .map(root => hints.flatMap((_, i) => (rootOf(i) === root ? [i] : [])))
    .filter(members => members.length > 1)
}

/** Whether two files are related; then energy and lag are there. */
export const isTie = (relation: Relation): relation is Tie => relation.related

const touches = ({ first, second }: Relation, i: number): boolean => first === i || second === i

const limitOf = (a: NameHints, b: NameHints): number => {
  if (a.instrument.length === 0 || b.instrument.length === 0) return SHARED
  return a.instrument.some(word => b.instrument.includes(word)) ? SHARED_SAME_NAME : SHARED_OTHER_NAME
}

/**
 * Which of a group serves as the reference: a direct signal or a pickup by its name, since no air delays it; else the one that arrives
 * first; never a re-amped pass while there is another.
 */
export const guessReference = (
  members: readonly number[],
  hints: readonly NameHints[],
  ties: readonly Tie[],
): { readonly reference: number; readonly because: 'name' | 'arrives first' } => {
  const byName = (['direct', 'pickup'] as const)
    .map(via => members.find(i => hints[i]!.via === via))
    .find(found => found !== undefined)
  if (byName !== undefined) return { reference: byName, because: 'name' }
  const others = members.filter(i => hints[i]!.via !== 'reamp')
  const latenessOf = (i: number): number => {
    const lags = ties.flatMap(tie =>
      tie.first === i && members.includes(tie.second)
        ? [-tie.lagSamples]
        : tie.second === i && members.includes(tie.first)
          ? [tie.lagSamples]
          : [],
    )
    return lags.length === 0 ? Number.POSITIVE_INFINITY : Math.max(...lags)
  }
  const candidates = others.length > 0 ? others : members
  const reference = candidates.reduce((a, b) => (latenessOf(b) < latenessOf(a) ? b : a))
  return { reference, because: 'arrives first' }
}
