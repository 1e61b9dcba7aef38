import pLimit from 'p-limit'
import type { Peak } from '../pair/search.js'
import type { SpectraPlan, Trace } from '../spectra/segment-spectra.js'
import { type GatheredSpectra, letGoOfPair, pairOf } from './gather.js'
import type { GroupTask, SearchProvider, SpectraProvider } from './group-input.js'
import { joinedLots } from './joined-sums.js'
import { lotsOf, PAIRS_AT_ONCE, runPass, searchGrid } from './passes.js'
import { searchPair } from './search-pair.js'

/** So much of a long take is looked at first, in stretches spread evenly over it. */
const LOOKED_SECONDS = 48
const STRETCH_SECONDS = 4
/** In a take that is not much longer, all of it is looked at. */
const LONG_SECONDS = 1.5 * LOOKED_SECONDS
/** A peak is clear where this part of the common sound lines up … */
const CLEAR_SCORE = 0.4
/** … and no other, further off than a fine pass can make good, has this part of it. */
const CLEAR_RIVAL = 0.7
const RIVAL_SECONDS = 0.0025

export interface CoarsePass {
  readonly gathered: GatheredSpectra
  /** Per source: where its best peak over all its channels lies, whole frames; 0 without one. */
  readonly shifts: readonly number[]
  /** Per pair, best first. */
  readonly peaks: readonly (readonly Peak[])[]
}

/**
 * Where each source lies, roughly: a pass whose window spans the search. Of a long take a part is enough where it shows every source
 * clearly; else all of it is looked at.
 */
export const coarsePass = async (
  task: GroupTask,
  provide: SpectraProvider,
  traces: readonly Trace[],
  pairs: readonly (readonly [number, number])[],
  search: SearchProvider = searchPair,
): Promise<CoarsePass> => {
  const searchSamples = task.searchSeconds * task.sampleRateHz
  const turn = pLimit(PAIRS_AT_ONCE)
  const peaksOf = async (gathered: GatheredSpectra, pair: number): Promise<readonly Peak[]> => {
    const summed = pairOf(gathered, pair)
    const peaks = await search({ sums: summed.sums, rangeSamples: searchSamples + 2 })
    letGoOfPair(summed)
    return peaks
  }
  const look = async (looked: SpectraPlan['passage']) => {
    const grid = searchGrid(task, task.searchSeconds)
    const lots: GatheredSpectra[] = []
    for (const lot of pairs.length === 0 ? [[]] : lotsOf(pairs, grid)) {
      const summed = await runPass(task, provide, {
        grid,
        traces,
        pairs: lot,
        shifts: task.members.map(() => 0),
        gates: traces.map(() => 0),
        looked,
        keepsFolds: false,
      })
      lots.push(summed)
    }
    const gathered = joinedLots(lots)
    return { gathered, peaks: await Promise.all(pairs.map((_, p) => turn(() => peaksOf(gathered, p)))) }
  }
  const stretches = stretchesOf(task)
  let found = await look(stretches)
  if (stretches !== null && !found.peaks.every(peaks => isClear(peaks, task.sampleRateHz)))
    found = await look(null)
  const best = new Map<number, Peak>()
  pairs.forEach(([, second], p) => {
    const peak = found.peaks[p]![0]
    const source = traces[second]!.source
    if (peak !== undefined && peak.mass > (best.get(source)?.mass ?? 0)) best.set(source, peak)
  })
  return {
    gathered: found.gathered,
    peaks: found.peaks,
    shifts: task.members.map((_, i) => Math.round(best.get(i)?.lagSamples ?? 0)),
  }
}

/** Null: all of the take. A passage that the recipe names is short enough. */
const stretchesOf = (task: GroupTask): SpectraPlan['passage'] => {
  const seconds = task.members[task.reference]!.frames / task.sampleRateHz
  if (task.passage !== null || seconds < LONG_SECONDS) return null
  const count = LOOKED_SECONDS / STRETCH_SECONDS
  return Array.from({ length: count }, (_, i) => {
    const middle = ((i + 0.5) * seconds) / count
    return { startSeconds: middle - STRETCH_SECONDS / 2, endSeconds: middle + STRETCH_SECONDS / 2 }
  })
}

const isClear = ([best, ...others]: readonly Peak[], sampleRateHz: number): boolean =>
  best !== undefined &&
  best.score > CLEAR_SCORE &&
  others.every(
    other =>
      Math.abs(other.lagSamples - best.lagSamples) < RIVAL_SECONDS * sampleRateHz ||
      other.mass < CLEAR_RIVAL * best.mass,
  )
