import { searchLags } from '../pair/search.js'
import type { Trace } from '../spectra/segment-spectra.js'
import { pairOf } from './gather.js'
import type { GroupTask, SpectraProvider } from './group-input.js'
import type { Round } from './measured-traces.js'
import { lotsOf, runPass, searchGrid } from './passes.js'

const BEYOND_SECONDS = 0.3
/** With more than this in common nothing beyond the search can fit better. */
const ENOUGH_COMMON = 0.5
const BEYOND_BETTER = 1.15

/**
 * Looks beyond the search where a pair has little in common: a lag out there that fits better says that the search is too
 * narrow, or that what was found is a repeat of the same sound.
 */
export const beyondSearch = async (
  task: GroupTask,
  provide: SpectraProvider,
  round: Round,
  traces: readonly Trace[],
  gates: readonly number[],
  searchSamples: number,
): Promise<Map<number, number>> => {
  const found = new Map<number, number>()
  const asked = round.pairs.flatMap((p, i) => ((p.estimate?.commonEnergy ?? 0) < ENOUGH_COMMON ? [i] : []))
  if (asked.length === 0 || task.searchSeconds >= BEYOND_SECONDS) return found
  const grid = searchGrid(task, BEYOND_SECONDS)
  for (const lot of lotsOf(asked, grid)) {
    const wide = await runPass(task, provide, {
      grid,
      traces,
      pairs: lot.map(i => [round.pairs[i]!.first, round.pairs[i]!.second]),
      shifts: task.members.map(() => 0),
      gates,
      keepsFolds: false,
    })
    lot.forEach((index, p) => {
      const { peaks } = searchLags(pairOf(wide, p).sums, BEYOND_SECONDS * task.sampleRateHz)
      const inside = peaks.find(peak => Math.abs(peak.lagSamples) <= searchSamples + 2)?.mass ?? 0
      const outside = peaks.find(peak => Math.abs(peak.lagSamples) > searchSamples + 2)
      if (outside !== undefined && outside.mass > BEYOND_BETTER * inside && outside.score > 0.3) {
        found.set(index, outside.lagSamples)
      }
    })
  }
  return found
}
