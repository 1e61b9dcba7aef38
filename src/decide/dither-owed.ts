import type { Depth } from '../recipe/session.js'
import * as portable from '../terms/portable.js'
import { integerBits } from './depth.js'
import type { PlannedSource, StemPart } from './plan.js'

/**
 * Whether arithmetic is followed by a shorter word. Not so for whole-frame moves, inversion and plain sums of parts at unit gain whose
 * words fit: those are exact. A float source has a longer word than any integer depth; the mean of several channels may have one.
 */
export const isDitherOwed = (
  depth: Depth,
  parts: readonly StemPart[],
  sources: ReadonlyMap<string, PlannedSource>,
): boolean => {
  const bits = integerBits(depth)
  if (bits === null) return false
  return parts.some(part => {
    if (!isWhole(part)) return true
    return Math.abs(part.gain) !== 1 || wordBits(sources.get(part.key)!) > bits
  })
}

/** Moved by whole frames from end to end, though perhaps not all of it by the same. */
const isWhole = ({ atSamples, follow, runs }: StemPart): boolean =>
  runs === undefined
    ? follow === null && Number.isInteger(atSamples)
    : runs.every(run => Number.isInteger(run.atSamples))

/** Bits that hold every value of a source exactly; Infinity where none do. */
const wordBits = ({ facts, selection }: PlannedSource): number => {
  if (facts.sampleFormat === 'float') return Infinity
  if (selection.kind !== 'mean') return facts.bitDepth
  const doublings = portable.log2(facts.channels)
  return Number.isInteger(doublings) ? facts.bitDepth + doublings : Infinity
}
