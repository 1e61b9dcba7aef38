import { estimatePair, type PairEstimate } from '../pair/pair-estimate.js'
import { type Peak, searchLags } from '../pair/search.js'
import type { SpectraPlan, Trace } from '../spectra/accumulate.js'
import { type FrameGrid, frameGrid, gridSegments } from '../spectra/frame-grid.js'
import type { ShiftSchedule } from '../spectra/schedule.js'
import { gatesOf } from './gates.js'
import { type GatheredSpectra, gatherSpectra, pairOf } from './gather.js'
import type { GroupTask, SpectraProvider } from './group-input.js'
import { otherPairs, referencePairs, tracesOf } from './traces.js'

/** One pair of traces with what was found, and the whole frames by which the second was read ahead of the first. */
export interface MeasuredPair {
  readonly first: number
  readonly second: number
  readonly shiftSamples: number
  /** Lag within the estimate is what is left after `shiftSamples`. Null: nothing shared. */
  readonly estimate: PairEstimate | null
}

export interface MeasuredTraces {
  readonly task: GroupTask
  readonly traces: readonly Trace[]
  /** Pairs with the reference, first; then the others. */
  readonly pairs: readonly MeasuredPair[]
  readonly shifts: readonly number[]
  readonly gathered: GatheredSpectra
  readonly searchSamples: number
}

const FOLDS = 8
/** Segments of work: about this many seconds each. */
const SEGMENT_SECONDS = 20
const COARSE_WINDOW_SECONDS = 0.34
const FINE_WINDOW_SECONDS = 0.17
/** The search may take up this part of the coarse window at most. */
const SEARCH_SHARE = 0.22
/** A fine pass whose peak lies this far (of its window) from where it was expected is made again there. */
const MOVED_SHARE = 1 / 64

/**
 * Two passes and, where needed, a third: a coarse one with a window that spans the search, then a fine one with every source
 * read ahead by its whole-frame lag, for all pairs.
 */
export const measureTraces = async (task: GroupTask, provide: SpectraProvider): Promise<MeasuredTraces> => {
  const traces = tracesOf(task)
  const searchSamples = task.searchSeconds * task.sampleRateHz
  const withReference = referencePairs(traces, task.reference)
  const coarse = await pass(task, provide, {
    grid: coarseGrid(task),
    traces,
    pairs: withReference,
    shifts: task.members.map(() => 0),
    gates: traces.map(() => 0),
  })
  const gates = gatesOf(coarse.levels)
  let shifts = coarseShifts(task, traces, withReference, coarse, searchSamples)
  const grid = fineGrid(task)
  const pairs = [...withReference, ...otherPairs(traces, task, likenessOf(coarse, traces))]
  let gathered = await pass(task, provide, { grid, traces, pairs, shifts, gates })
  let measured = withReference.map((pair, p) => measurePair(gathered, pair, p, traces, shifts, searchSamples))
  const moved = shiftsAgain(task, traces, measured, shifts, grid)
  if (moved !== null) {
    shifts = moved
    gathered = await pass(task, provide, { grid, traces, pairs, shifts, gates })
    measured = withReference.map((pair, p) => measurePair(gathered, pair, p, traces, shifts, searchSamples))
  }
  const others = pairs
    .slice(withReference.length)
    .map((pair, p) => measureOther(gathered, pair, withReference.length + p, traces, shifts))
  return { task, traces, pairs: [...measured, ...others], shifts, gathered, searchSamples }
}

const powerOfTwo = (frames: number): number => {
  let size = 256
  while (size < frames) size *= 2
  return size
}

const coarseGrid = (task: GroupTask): FrameGrid =>
  frameGrid({
    sampleRateHz: task.sampleRateHz,
    frames: task.members[task.reference]!.frames,
    fftSize: powerOfTwo(
      Math.max(COARSE_WINDOW_SECONDS, task.searchSeconds / SEARCH_SHARE) * task.sampleRateHz,
    ),
    hopsPerWindow: 2,
    folds: FOLDS,
    blockSeconds: 1,
  })

const fineGrid = (task: GroupTask): FrameGrid => {
  const frames = task.members[task.reference]!.frames
  return frameGrid({
    sampleRateHz: task.sampleRateHz,
    frames,
    fftSize: powerOfTwo(FINE_WINDOW_SECONDS * task.sampleRateHz),
    // In a short take every instant must weigh alike; in a long one the ripple of half overlap is lost in other errors.
    hopsPerWindow: frames < 60 * task.sampleRateHz ? 3 : 2,
    folds: FOLDS,
    blockSeconds: 1,
  })
}

const pass = async (
  task: GroupTask,
  provide: SpectraProvider,
  wish: Pick<SpectraPlan, 'grid' | 'traces' | 'pairs' | 'gates'> & { shifts: readonly ShiftSchedule[] },
): Promise<GatheredSpectra> => {
  const plan: SpectraPlan = {
    ...wish,
    startFrames: task.members.map(m => m.startFrame),
    lengths: task.members.map(m => m.frames),
    tracked: wish.pairs.flatMap(([first], p) => (wish.traces[first]!.source === task.reference ? [p] : [])),
    shared: sharedStretch(task, wish.shifts),
    passage: task.passage,
  }
  const maxHops = Math.max(8, Math.round((SEGMENT_SECONDS * task.sampleRateHz) / wish.grid.hop))
  return gatherSpectra(
    plan,
    gridSegments(wish.grid, maxHops).map(segment => provide(plan, segment)),
  )
}

/** Where all sources have sound; null where that is under nine tenths of the reference (a short overdub must not cut the rest). */
const sharedStretch = (task: GroupTask, shifts: readonly ShiftSchedule[]): SpectraPlan['shared'] => {
  let startFrame = Number.NEGATIVE_INFINITY
  let endFrame = Number.POSITIVE_INFINITY
  task.members.forEach((member, i) => {
    const shift = shifts[i]!
    if (typeof shift !== 'number') return
    startFrame = Math.max(startFrame, member.startFrame - shift)
    endFrame = Math.min(endFrame, member.startFrame - shift + member.frames)
  })
  return endFrame - startFrame >= 0.9 * task.members[task.reference]!.frames ? { startFrame, endFrame } : null
}

// The best coarse peak of each source over all its channels, as whole frames.
const coarseShifts = (
  task: GroupTask,
  traces: readonly Trace[],
  pairs: readonly (readonly [number, number])[],
  coarse: GatheredSpectra,
  searchSamples: number,
): number[] => {
  const best = new Map<number, Peak>()
  pairs.forEach(([, second], p) => {
    const peak = searchLags(pairOf(coarse, p).sums, searchSamples + 2).peaks[0]
    const source = traces[second]!.source
    if (peak !== undefined && peak.mass > (best.get(source)?.mass ?? 0)) best.set(source, peak)
  })
  return task.members.map((_, i) => Math.round(best.get(i)?.lagSamples ?? 0))
}

const measurePair = (
  gathered: GatheredSpectra,
  [first, second]: readonly [number, number],
  index: number,
  traces: readonly Trace[],
  shifts: readonly number[],
  searchSamples: number,
): MeasuredPair => {
  const shiftSamples = shifts[traces[second]!.source]! - shifts[traces[first]!.source]!
  const { sums, whole, folds } = pairOf(gathered, index)
  const estimate = estimatePair({
    sums,
    whole,
    folds,
    low: -searchSamples - shiftSamples,
    high: searchSamples - shiftSamples,
  })
  return { first, second, shiftSamples, estimate }
}

/** Pairs without the reference are only looked at near where both lags put them. */
const OTHER_REACH_SECONDS = 0.001

const measureOther = (
  gathered: GatheredSpectra,
  [first, second]: readonly [number, number],
  index: number,
  traces: readonly Trace[],
  shifts: readonly number[],
): MeasuredPair => {
  const shiftSamples = shifts[traces[second]!.source]! - shifts[traces[first]!.source]!
  const { sums, whole, folds } = pairOf(gathered, index)
  const reach = OTHER_REACH_SECONDS * sums.sampleRateHz
  return {
    first,
    second,
    shiftSamples,
    estimate: estimatePair({ sums, whole, folds, low: -reach, high: reach }),
  }
}

const shiftsAgain = (
  task: GroupTask,
  traces: readonly Trace[],
  measured: readonly MeasuredPair[],
  shifts: readonly number[],
  grid: FrameGrid,
): number[] | null => {
  const next = task.members.map((_, source) => {
    const best = measured
      .filter(m => traces[m.second]!.source === source && m.estimate !== null)
      .sort((a, b) => b.estimate!.peaks[0]!.mass - a.estimate!.peaks[0]!.mass)[0]
    const lag = best?.estimate?.lagSamples ?? 0
    return Math.abs(lag) < grid.fftSize * MOVED_SHARE ? shifts[source]! : Math.round(best!.shiftSamples + lag)
  })
  return next.some((shift, i) => shift !== shifts[i]) ? next : null
}

// How much two sources share, from what both share with the reference.
const likenessOf = (
  coarse: GatheredSpectra,
  traces: readonly Trace[],
): ((i: number, j: number) => number) => {
  const level = (source: number): number => {
    let sum = 0
    coarse.plan.pairs.forEach(([, second], p) => {
      if (traces[second]!.source !== source) return
      const { sums } = pairOf(coarse, p)
      for (let k = 8; k < sums.first.length; k++) {
        const product = sums.first[k]! * sums.second[k]!
        const re = sums.cross[2 * k]!
        const im = sums.cross[2 * k + 1]!
        if (product > 0) sum += (re * re + im * im) / product
      }
    })
    return sum
  }
  const known = new Map<number, number>()
  const of = (source: number): number => {
    const found = known.get(source) ?? level(source)
    known.set(source, found)
    return found
  }
  return (i, j) => of(i) * of(j)
}
