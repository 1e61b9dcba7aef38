import {
  type FrameGrid,
  frameGrid,
  frameMiddleSeconds,
  type GridSegment,
  gridSegments,
} from '../spectra/frame-grid.js'
import { exactShift, type ShiftSchedule } from '../spectra/schedule.js'
import type { SpectraPlan } from '../spectra/segment-spectra.js'
import { type GatheredSpectra, gatherSpectra } from './gather.js'
import type { GroupTask, SpectraProvider } from './group-input.js'

const FOLDS = 8
/** Segments of work: about this many seconds each. */
const SEGMENT_SECONDS = 40
const COARSE_WINDOW_SECONDS = 0.34
const FINE_WINDOW_SECONDS = 0.17
/** A search may take up this part of the window at most: at its edge Hann frames then share half of what they hold. */
const SEARCH_SHARE = 0.22
const BLOCK_SECONDS = 1
/** A take of more than half an hour has longer blocks, so that what is kept of them does not grow with it. */
const MOST_BLOCKS = 1800

const blockSeconds = (frames: number, sampleRateHz: number): number =>
  Math.max(BLOCK_SECONDS, frames / sampleRateHz / MOST_BLOCKS)

const powerOfTwo = (frames: number): number => {
  let size = 256
  while (size < frames) size *= 2
  return size
}

/** Window for searching lags of `-searchSeconds … searchSeconds`: 0.34 s, or longer where the search asks for it. */
export const searchGrid = (task: GroupTask, searchSeconds: number): FrameGrid =>
  frameGrid({
    sampleRateHz: task.sampleRateHz,
    frames: task.members[task.reference]!.frames,
    fftSize: powerOfTwo(Math.max(COARSE_WINDOW_SECONDS, searchSeconds / SEARCH_SHARE) * task.sampleRateHz),
    hopsPerWindow: 2,
    folds: FOLDS,
    blockSeconds: blockSeconds(task.members[task.reference]!.frames, task.sampleRateHz),
  })

/** Window for measuring what is left after whole-frame shifts: 0.17 s. */
export const fineGrid = (task: GroupTask): FrameGrid => {
  const { frames } = task.members[task.reference]!
  return frameGrid({
    sampleRateHz: task.sampleRateHz,
    frames,
    fftSize: powerOfTwo(FINE_WINDOW_SECONDS * task.sampleRateHz),
    // In a short take every instant must weigh alike; in a long one the ripple of half overlap is lost in other errors.
    hopsPerWindow: frames < 60 * task.sampleRateHz ? 3 : 2,
    folds: FOLDS,
    blockSeconds: blockSeconds(frames, task.sampleRateHz),
  })
}

export interface PassWish extends Pick<SpectraPlan, 'grid' | 'traces' | 'pairs' | 'gates'> {
  readonly shifts: readonly ShiftSchedule[]
  readonly peakRangeSamples?: number | null
  /** Stretches of the group's time to look at, within the passage; null or left out = all of it. */
  readonly looked?: SpectraPlan['passage']
  /** False: nobody asks for the parts of the time. */
  readonly keepsFolds?: boolean
}

/** Pairs that are handed out together: what each needs is a megabyte. */
export const PAIRS_AT_ONCE = 8

/** One pass over all sources of the group, in segments that may be worked on side by side. */
export const runPass = async (
  task: GroupTask,
  provide: SpectraProvider,
  { peakRangeSamples = null, looked = null, keepsFolds = true, ...wish }: PassWish,
): Promise<GatheredSpectra> => {
  const plan: SpectraPlan = {
    ...wish,
    peakRangeSamples,
    startFrames: task.members.map(m => m.startFrame),
    lengths: task.members.map(m => m.frames),
    tracked: wish.pairs.flatMap(([first], p) => (wish.traces[first]!.source === task.reference ? [p] : [])),
    shared: sharedStretch(task, wish.shifts),
    passage: within(task.passage, looked),
  }
  const maxHops = Math.max(8, Math.round((SEGMENT_SECONDS * task.sampleRateHz) / wish.grid.hop))
  return gatherSpectra(
    plan,
    gridSegments(wish.grid, maxHops)
      .filter(segment => holdsFrames(plan, segment))
      .map(segment => provide(plan, segment)),
    keepsFolds,
  )
}

/** What a task may take at a time, bytes: all beyond it, and sums of many pairs are made in several goes. */
const TASK_BYTES = 1.2e7
/** Of a pair and a further trace in the memory of a task, times the length of the transform: sums twice, four spectra, sound read ahead. */
const BYTES_PER_POINT = 56

/** Pairs with one trace in common, in lots that a task has room for. */
export const lotsOf = <Item>(
  items: readonly Item[],
  { fftSize }: Pick<FrameGrid, 'fftSize'>,
): readonly (readonly Item[])[] =>
  inLots(items, Math.max(4, Math.floor(TASK_BYTES / (BYTES_PER_POINT * fftSize))))

/** Items in lots of at most so many, in their order; no lot where there is none. */
export const inLots = <Item>(items: readonly Item[], most: number): readonly (readonly Item[])[] =>
  Array.from({ length: Math.ceil(items.length / most) }, (_, lot) =>
    items.slice(lot * most, (lot + 1) * most),
  )

const within = (a: SpectraPlan['passage'], b: SpectraPlan['passage']): SpectraPlan['passage'] => {
  if (a === null || b === null) return a ?? b
  return a.flatMap(one =>
    b.flatMap(other => {
      const startSeconds = Math.max(one.startSeconds, other.startSeconds)
      const endSeconds = Math.min(one.endSeconds, other.endSeconds)
      return endSeconds > startSeconds ? [{ startSeconds, endSeconds }] : []
    }),
  )
}

const holdsFrames = ({ grid, passage }: SpectraPlan, { firstHop, endHop }: GridSegment): boolean => {
  if (passage === null) return true
  const first = frameMiddleSeconds(grid, firstHop)
  const last = frameMiddleSeconds(grid, endHop - 1)
  return passage.some(({ startSeconds, endSeconds }) => startSeconds <= last && endSeconds > first)
}

/** Where all sources have sound; null where that is under nine tenths of the reference (a short overdub must not cut the rest). */
const sharedStretch = (task: GroupTask, shifts: readonly ShiftSchedule[]): SpectraPlan['shared'] => {
  let startFrame = Number.NEGATIVE_INFINITY
  let endFrame = Number.POSITIVE_INFINITY
  const length = task.members[task.reference]!.frames
  task.members.forEach((member, i) => {
    const first = Math.round(exactShift(shifts[i]!, 0))
    const last = Math.round(exactShift(shifts[i]!, length / task.sampleRateHz))
    startFrame = Math.max(startFrame, member.startFrame - first)
    endFrame = Math.min(endFrame, member.startFrame - last + member.frames)
  })
  return endFrame - startFrame >= 0.9 * length ? { startFrame, endFrame } : null
}
