import type { Peak } from '../pair/search.js'
import { searchLags } from '../pair/search.js'
import type { SearchQuestion } from './group-input.js'

/** Task: the peaks of a coarse search; the curve stays behind. */
export const searchPair = ({ sums, rangeSamples }: SearchQuestion): readonly Peak[] =>
  searchLags(sums, rangeSamples).peaks
