import { bestFirst } from '../pair/evident-peak.js'
import { type Peak, searchLags } from '../pair/search.js'
import type { SearchQuestion } from './group-input.js'

/** Task: the peaks of a coarse search, best first; the curve stays behind. */
export const searchPair = ({ sums, rangeSamples }: SearchQuestion): readonly Peak[] => {
  const found = searchLags(sums, rangeSamples)
  return bestFirst(sums, found, found.peaks)
}
