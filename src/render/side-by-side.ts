import type { PlannedStem } from '../decide/plan.js'

/** Numbers of stems that are made in one go, the most work first. */
export type Sets = readonly (readonly number[])[]

/**
 * Which stems are made side by side, so that a source that comes into a blend and is a stem of its own is moved once. So that the threads all
 * have something to do, a blend takes along only its share of the single sources where there are more than two.
 */
export const sideBySide = (stems: readonly PlannedStem[], threads: number): Sets => {
  const left = new Set(stems.keys())
  const sets: number[][] = []
  const byParts = [...stems.keys()].sort((a, b) => stems[b]!.parts.length - stems[a]!.parts.length)
  const most = Math.ceil(stems.length / Math.ceil(Math.max(1, threads) / 2))
  for (const first of byParts) {
    if (!left.delete(first)) continue
    const set = [first]
    const own = new Set(stems[first]!.parts.map(({ key }) => key))
    for (const other of byParts) {
      if (set.length >= most) break
      const { parts } = stems[other]!
      if (!left.has(other) || !isAlike(stems[first]!, stems[other]!) || parts.length !== 1) continue
      if (!own.has(parts[0]!.key)) continue
      left.delete(other)
      set.push(other)
    }
    sets.push(set)
  }
  return sets
}

const isAlike = (one: PlannedStem, other: PlannedStem): boolean =>
  one.frames === other.frames && one.sampleRateHz === other.sampleRateHz && one.aligned === other.aligned
