import type { Trace } from '../spectra/segment-spectra.js'
import type { Motion } from '../time/motion.js'
import { runawayMotion } from '../time/runaway.js'
import { sourceCurve } from '../time/source-curve.js'
import { judgePair } from '../verdict/judge-pair.js'
import type { GroupTask, SpectraProvider } from './group-input.js'
import type { Round } from './measured-traces.js'
import { lotsOf, runPass, searchGrid } from './passes.js'

const isSettled = (round: Round, index: number, task: GroupTask, searchSamples: number): boolean => {
  const pair = round.pairs[index]!
  if (judgePair(pair, { sampleRateHz: task.sampleRateHz, searchSamples }).lag !== 'sure') return false
  const curve = sourceCurve(round.gathered, index, pair.estimate!.lagSamples)
  return pair.estimate!.foldShare > SETTLED_SHARE && (curve === null || curve.compared > SETTLED_SHARE)
}

/** Parts of the take that line up with the whole must make up this much, or it is looked at whether something moved. */
const SETTLED_SHARE = 0.9
/** A shorter take cannot show a drift that matters here. */
const LEAST_SECONDS = 6
const MAX_DRIFT = 3e-4

/** Sources that are not settled are looked at block by block: does their lag run away during the take? */
export const runawaysOf = async (
  task: GroupTask,
  provide: SpectraProvider,
  round: Round,
  traces: readonly Trace[],
  gates: readonly number[],
  searchSamples: number,
): Promise<Motion[] | null> => {
  const seconds = task.members[task.reference]!.frames / task.sampleRateHz
  const doubtful = round.pairs.filter((_, i) => !isSettled(round, i, task, searchSamples))
  if (seconds < LEAST_SECONDS || doubtful.length === 0) return null
  const range = searchSamples + MAX_DRIFT * task.members[task.reference]!.frames
  const grid = searchGrid(task, task.searchSeconds)
  const found = new Map<number, Motion>()
  for (const lot of lotsOf(doubtful, grid)) {
    const gathered = await runPass(task, provide, {
      grid,
      traces,
      pairs: lot.map(p => [p.first, p.second]),
      shifts: task.members.map(() => 0),
      gates,
      peakRangeSamples: range,
      keepsFolds: false,
    })
    lot.forEach((pair, p) => {
      const timed = gathered.blocks.map(b => ({ atSeconds: b.atSeconds, peaks: b.peaks[p]! }))
      const motion = runawayMotion(timed, searchSamples, task.sampleRateHz)
      if (motion !== null) found.set(traces[pair.second]!.source, motion)
    })
  }
  return found.size === 0 ? null : round.motions.map((m, i) => found.get(i) ?? m)
}
