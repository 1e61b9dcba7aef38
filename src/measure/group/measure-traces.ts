import pLimit from 'p-limit'
import { estimatePair } from '../pair/pair-estimate.js'
import type { Trace } from '../spectra/segment-spectra.js'
import { isClearDrift } from '../time/clear-drift.js'
import { furtherMotion, type Motion, movement, still } from '../time/motion.js'
import { sourceCurve } from '../time/source-curve.js'
import { beyondSearch } from './beyond-search.js'
import { type CoarsePass, coarsePass } from './coarse-pass.js'
import { gatesOf } from './gates.js'
import { type GatheredSpectra, letGoOfPair, letGoOfSpares, pairOf, withoutFolds } from './gather.js'
import type { EstimateProvider, GroupTask, SearchProvider, SpectraProvider } from './group-input.js'
import { type CrossSums, joinedLots, joinedPairs, onlyPairs } from './joined-sums.js'
import { likenessOf } from './likeness.js'
import { clearestPair, type MeasuredPair, type MeasuredTraces, type Round } from './measured-traces.js'
import { fineGrid, inLots, PAIRS_AT_ONCE, runPass } from './passes.js'
import { runawaysOf } from './runaways.js'
import { searchPair } from './search-pair.js'
import { copyFinder } from './second-copy.js'
import { otherPairs, referencePairs, tracesOf } from './traces.js'

/** A fine pass whose peak lies this far (of its window) from where it was expected is made again there. */
const MOVED_SHARE = 1 / 64
/** How many are summed together. */
export interface AtOnce {
  /** Up to so many traces all pairs are; of more, pairs without the reference are summed by themselves, when the rounds are over. */
  readonly traces: number
  /** Pairs with the reference, and without it, in one go of that many traces. */
  readonly direct: number
  readonly others: number
}
const AT_ONCE: AtOnce = { traces: 8, direct: 16, others: 16 }

/** Two rounds of following: a runaway lag first roughly, then to a fraction of a frame. */
const ROUNDS = 3

/**
 * A coarse pass whose window spans the search, then fine passes with every source read ahead by its lag, for all pairs; again
 * as long as a source turns out to lie elsewhere or to move during the take. `estimate`, `search`: in place by default. `atOnce` changes no bit.
 * One long function: each round goes on from the shifts, curves and spectra of the one before.
 */
export const measureTraces = async (
  task: GroupTask,
  provide: SpectraProvider,
  estimate: EstimateProvider = estimatePair,
  atOnce = AT_ONCE,
  search: SearchProvider = searchPair,
): Promise<MeasuredTraces> => {
  const turn = pLimit(PAIRS_AT_ONCE)
  const traces = tracesOf(task)
  const searchSamples = task.searchSeconds * task.sampleRateHz
  const direct = referencePairs(traces, task.reference)
  const {
    shifts: coarseShifts,
    gates,
    others,
    copyOf,
  } = await coarsePass(task, provide, traces, direct, search).then(coarse => beginning(task, traces, coarse))
  const pairs = [...direct, ...others]
  const apart = traces.length > atOnce.traces
  const fine = async (motions: readonly Motion[]): Promise<Round> => {
    const shifts = motions.map(m => m.schedule)
    const lots: GatheredSpectra[] = []
    const measured: MeasuredPair[] = []
    for (const lot of apart ? inLots(direct, atOnce.direct) : [pairs]) {
      const gathered = await runPass(task, provide, {
        grid: fineGrid(task),
        traces,
        pairs: lot,
        shifts,
        gates,
      })
      const found = lot.slice(0, direct.length).map((pair, p) => {
        const shift = shiftOf(pair, traces, motions)
        const [low, high] = [-searchSamples - shift, searchSamples - shift]
        return turn(() => measurePair(estimate, gathered, pair, p, shift, low, high))
      })
      measured.push(...(await Promise.all(found)))
      lots.push(apart ? withoutFolds(gathered) : gathered)
    }
    return { motions, gathered: joinedLots(lots), pairs: measured }
  }
  let round = await fine(coarseShifts.map(still))
  const runaways = await runawaysOf(task, provide, round, traces, gates, searchSamples)
  if (runaways !== null) round = await better(task, traces, round, await fine(runaways), fine)
  for (let again = 1; again < ROUNDS; again++) {
    const motions = motionsAgain(task, traces, round)
    if (motions === null) break
    const next = await better(task, traces, round, await fine(motions), fine)
    if (next === round) break
    round = next
  }
  const beyond = await beyondSearch(task, provide, round, traces, gates, searchSamples)
  const { motions } = round
  const reach = OTHER_REACH_SECONDS * task.sampleRateHz
  const measuredIn = (
    gathered: GatheredSpectra,
    some: readonly (readonly [number, number])[],
    from: number,
  ) =>
    Promise.all(
      some.map((pair, p) => {
        const shift = shiftOf(pair, traces, motions)
        return turn(() => measurePair(estimate, gathered, pair, from + p, shift, -reach, reach, true))
      }),
    )
  const measuredOthers: MeasuredPair[] = []
  let gathered = round.gathered
  if (apart) {
    const shifts = motions.map(m => m.schedule)
    // Sides are compared in the end; nothing else asks for the spectra of pairs without the reference.
    const isOfStereo = (pair: readonly [number, number]): boolean =>
      pair.some(trace => task.members[traces[trace]!.source]!.channels > 1)
    const parts: CrossSums[] = []
    for (const some of inLots(others, atOnce.others)) {
      const part = await runPass(task, provide, { grid: fineGrid(task), traces, pairs: some, shifts, gates })
      measuredOthers.push(...(await measuredIn(part, some, 0)))
      parts.push(onlyPairs(withoutFolds(part), isOfStereo))
    }
    gathered = joinedPairs(gathered, parts)
  } else measuredOthers.push(...(await measuredIn(gathered, others, direct.length)))
  letGoOfSpares()
  return {
    task,
    traces,
    pairs: [
      ...round.pairs.map((p, i) => ({
        ...p,
        beyondSamples: beyond.get(i) ?? null,
        copySamples: p.estimate === null ? null : copyOf(i, p.shiftSamples + p.estimate.lagSamples),
      })),
      ...measuredOthers,
    ],
    motions,
    gathered,
    searchSamples,
  }
}

/** What the rounds go by, of the coarse pass; its spectra are let go. */
const beginning = (task: GroupTask, traces: readonly Trace[], { gathered, shifts, peaks }: CoarsePass) => ({
  shifts,
  gates: gatesOf(gathered.levels),
  others: otherPairs(traces, task, likenessOf(gathered, traces)),
  copyOf: copyFinder(gathered, peaks, task.searchSeconds * task.sampleRateHz, fineGrid(task).fftSize),
})

/** A motion is kept only where following it lines up more of the sound … */
const LINED_UP_MORE = 1.02
/**
 * … or nearly as much, where so many more of the blocks can be compared: levels are first known to a frame, which costs some of the treble
 * of the whole take, while only a part of it lay elsewhere.
 */
const LINED_UP_NEARLY = 0.9
const COMPARED_MORE = 0.1
/** A motion is chance where what is left once it is followed takes so much of it back: narrow bands line up nearly as well along many lines. */
const TAKEN_BACK = 0.5

// The next round where all that newly moves gained by it; else a round in which only the gainers move.
const better = async (
  task: GroupTask,
  traces: readonly Trace[],
  before: Round,
  after: Round,
  fine: (motions: readonly Motion[]) => Promise<Round>,
): Promise<Round> => {
  const mass = (round: Round, source: number): number => {
    const index = clearestPair(round.pairs, traces, source)
    return index === null ? 0 : round.pairs[index]!.estimate!.peaks[0]!.mass
  }
  const compared = (round: Round, source: number): number => {
    const index = clearestPair(round.pairs, traces, source)
    const lagSamples = index === null ? null : round.pairs[index]!.estimate!.lagSamples
    return lagSamples === null ? 0 : (sourceCurve(round.gathered, index!, lagSamples)?.compared ?? 0)
  }
  const isTakenBack = (source: number): boolean => {
    const motion = after.motions[source]!
    const next = motionAgain(after, traces, source)
    const seconds = task.members[source]!.frames / task.sampleRateHz
    return next !== null && movement(next, seconds) < (1 - TAKEN_BACK) * movement(motion, seconds)
  }
  // A line through few blocks, of which chance makes one or two look exact, is no drift.
  const isChance = (source: number): boolean => {
    const motion = after.motions[source]!
    if (motion.slope === 0 || motion.steps.length > 0 || motion.swaySamples > 0) return false
    const index = clearestPair(after.pairs, traces, source)
    const estimate = index === null ? null : after.pairs[index]!.estimate
    const curve =
      index === null || estimate === null ? null : sourceCurve(after.gathered, index, estimate.lagSamples)
    return curve === null || estimate === null || !isClearDrift(motion.slope, curve, estimate.boundSamples)
  }
  const gains = (source: number): boolean => {
    if (before.motions[source]!.slope === 0 && (isTakenBack(source) || isChance(source))) return false
    const ratio = mass(after, source) / mass(before, source)
    if (!(ratio < LINED_UP_MORE)) return true
    return ratio >= LINED_UP_NEARLY && compared(after, source) >= compared(before, source) + COMPARED_MORE
  }
  const kept = task.members.map((_, source) => {
    const motion = after.motions[source]!
    if (motion === before.motions[source] || typeof motion.schedule === 'number') return motion
    return gains(source) ? motion : before.motions[source]!
  })
  if (kept.every((m, i) => m === after.motions[i])) return after
  if (kept.every((m, i) => m === before.motions[i])) return before
  return fine(kept)
}

// Where the last pass shows a source elsewhere, or moving: how to follow it. Null: nowhere.
const motionsAgain = (task: GroupTask, traces: readonly Trace[], round: Round): Motion[] | null => {
  const next = task.members.map((_, source) => motionAgain(round, traces, source))
  return next.some(motion => motion !== null) ? next.map((m, i) => m ?? round.motions[i]!) : null
}

const motionAgain = (round: Round, traces: readonly Trace[], source: number): Motion | null => {
  const { fftSize } = round.gathered.plan.grid
  const motion = round.motions[source]!
  const index = clearestPair(round.pairs, traces, source)
  if (index === null) return null
  const { estimate } = round.pairs[index]!
  if (typeof motion.schedule === 'number' && Math.abs(estimate!.lagSamples) > fftSize * MOVED_SHARE) {
    return still(Math.round(motion.schedule + estimate!.lagSamples))
  }
  const curve = sourceCurve(round.gathered, index, estimate!.lagSamples)
  return curve === null ? null : furtherMotion(motion, estimate!.lagSamples, curve)
}

/** Pairs without the reference are only looked at near where both lags put them. */
const OTHER_REACH_SECONDS = 0.001

/** How far the second trace of a pair was read ahead of the first, frames. */
const shiftOf = (
  [first, second]: readonly [number, number],
  traces: readonly Trace[],
  motions: readonly Motion[],
): number => motions[traces[second]!.source]!.anchorSamples - motions[traces[first]!.source]!.anchorSamples

/** One pair of the pass, looked at from `low` to `high`: frames beside `shiftSamples`. */
const measurePair = async (
  estimate: EstimateProvider,
  gathered: GatheredSpectra,
  [first, second]: readonly [number, number],
  index: number,
  shiftSamples: number,
  low: number,
  high: number,
  lagOnly = false,
): Promise<MeasuredPair> => {
  const pair = pairOf(gathered, index)
  const { sums, whole, folds } = pair
  const found = await estimate({ sums, whole, folds, low, high, lagOnly })
  letGoOfPair(pair)
  return { first, second, shiftSamples, estimate: found, beyondSamples: null, copySamples: null }
}
