import { letGo } from '../../terms/let-go.js'
import { independentFrames, type PairSums } from '../pair/pair-sums.js'
import { independentShare } from '../spectra/frame-grid.js'
import { REGISTERS } from '../spectra/registers.js'
import type { SegmentSpectra, SpectraPlan } from '../spectra/segment-spectra.js'
import type { BlockTrack } from '../spectra/track-bands.js'

/** All segments of a pass summed up, in order of time whatever order they were made in. */
export interface GatheredSpectra {
  readonly plan: SpectraPlan
  readonly autos: readonly Float64Array[]
  /** Per pair and fold, in single precision: there are many; null where nothing was played in it. See `withoutFolds`. */
  readonly foldCross: readonly (readonly (Numbers | null)[])[]
  /** The frames over the edges of files: per trace, per pair, and how many of them voted per trace. */
  readonly edgeAutos: readonly Float64Array[]
  readonly edgeCross: readonly Float32Array[]
  readonly edgeVoted: readonly number[]
  readonly votes: readonly Float64Array[]
  readonly blocks: readonly BlockTrack[]
  readonly voted: readonly number[]
  /** Per trace: mean square of every frame of the grid; NaN for those that were not looked at. */
  readonly levels: readonly Float32Array[]
}

/**
 * @param segments Emptied on the way: a sum that was added is let go, so that memory does not grow with the length.
 * @param keepsFolds False: as `withoutFolds` makes it, at once.
 */
export const gatherSpectra = async (
  plan: SpectraPlan,
  segments: Promise<SegmentSpectra>[],
  keepsFolds = true,
): Promise<GatheredSpectra> => {
  const { traces, pairs, grid } = plan
  const bins = grid.fftSize / 2 + 1
  // What is in no pair takes no memory.
  const compared = traces.map((_, t) => pairs.some(pair => pair.includes(t)))
  const autos = compared.map(is => sharedFloat64(is ? bins : 0))
  const store = keepsFolds ? keptFolds(pairs.length, grid) : addedFolds(pairs.length, grid)
  const votes = pairs.map(() => new Float64Array(2 * REGISTERS))
  const voted = traces.map(() => 0)
  const levels = traces.map(() => new Float32Array(grid.hops).fill(Number.NaN))
  const blocks: BlockTrack[] = []
  const edgeAutos = compared.map(is => new Float64Array(is ? bins : 0))
  const edgeCross = pairs.map((): Float32Array => NO_EDGE)
  const edgeVoted = traces.map(() => 0)
  for (let promised = segments.shift(); promised !== undefined; promised = segments.shift()) {
    const segment = await promised
    blocks.push(...segment.blocks)
    segment.edge?.autos.forEach((part, t) => {
      add(edgeAutos[t]!, part)
      edgeVoted[t] = edgeVoted[t]! + segment.edge!.voted[t]!
    })
    segment.edge?.cross.forEach((part, p) => {
      if (edgeCross[p] === NO_EDGE) edgeCross[p] = sharedCopy(part)
      else add(edgeCross[p]!, part)
    })
    segment.autos.forEach((part, t) => {
      add(autos[t]!, part)
      voted[t] = voted[t]! + segment.voted[t]!
      levels[t]!.set(segment.levels[t]!, segment.firstHop)
    })
    segment.cross.forEach((part, p) => {
      add(votes[p]!, segment.votes[p]!)
      if (segment.votes[p]!.every(v => v === 0)) return
      store.add(p, segment.fold, part)
    })
    letGo([segment.autos, segment.cross, segment.edge])
  }
  return {
    plan,
    autos,
    foldCross: store.all(),
    edgeAutos,
    edgeCross,
    edgeVoted,
    votes,
    blocks,
    voted,
    levels,
  }
}

/** Where the cross-spectra of all pairs are summed; folds come one after the other. */
interface FoldStore {
  add(pair: number, fold: number, part: Float32Array): void
  all(): GatheredSpectra['foldCross']
}

const keptFolds = (pairs: number, { folds: count }: SpectraPlan['grid']): FoldStore => {
  const kept = Array.from({ length: pairs }, () =>
    Array.from({ length: count }, (): Float32Array | null => null),
  )
  return {
    add: (pair, fold, part) => {
      const folds = kept[pair]!
      const sum = folds[fold] ?? null
      if (sum === null) folds[fold] = sharedCopy(part)
      else add(sum, part)
    },
    all: () => kept,
  }
}

// The same additions: each fold in single precision, then all of them in double.
const addedFolds = (pairs: number, { fftSize }: SpectraPlan['grid']): FoldStore => {
  const totals = Array.from({ length: pairs }, () => new Float64Array(fftSize + 2))
  const open = Array.from({ length: pairs }, () => ({ fold: -1, sum: null as Float32Array | null }))
  const close = (pair: number): void => {
    const { sum } = open[pair]!
    if (sum !== null) add(totals[pair]!, sum)
  }
  return {
    add: (pair, fold, part) => {
      const one = open[pair]!
      if (one.fold === fold && one.sum !== null) {
        add(one.sum, part)
        return
      }
      close(pair)
      open[pair] = { fold, sum: part.slice() }
    },
    all: () => {
      open.forEach((_, pair) => {
        close(pair)
      })
      return totals.map(total => [total])
    },
  }
}

// What many pairs hand to other threads lies in memory that all threads see: it is not copied.
const sharedFloat64 = (length: number): Float64Array => new Float64Array(new SharedArrayBuffer(8 * length))

const sharedCopy = (part: Float32Array): Float32Array => {
  const copy = free.get(part.length)?.pop() ?? new Float32Array(new SharedArrayBuffer(part.byteLength))
  copy.set(part)
  return copy
}

// Shared memory cannot be let go of: it is taken again.
const free = new Map<number, Float32Array[]>()

/** For when nobody will look at these sums again, in no thread. */
const takeBack = (fold: Numbers): void => {
  if (!(fold instanceof Float32Array)) return
  const some = free.get(fold.length)
  if (some === undefined) free.set(fold.length, [fold])
  else some.push(fold)
}

/** For when a group is measured: what waits to be taken again is given back. */
export const letGoOfSpares = (): void => {
  free.clear()
}

/** Of a pair without frames over an edge. */
const NO_EDGE = new Float32Array(0)

/** One pair's sums. */
export interface GatheredPair {
  /** Without the frames over the edges of files, unless there is hardly anything else. */
  readonly sums: PairSums
  /** With them. */
  readonly whole: PairSums
  /** Cross-spectra of the parts of `whole`: one per fold and one of the edges; null where not both sound. */
  readonly folds: readonly (Numbers | null)[]
}

/**
 * The same sums with the folds of every pair added up: a quarter of the memory, and what the folds took is used again. For whoever has no more use
 * for the parts of the time; `sums` and `whole` of a pair stay as they are.
 */
export const withoutFolds = (gathered: GatheredSpectra): GatheredSpectra => ({
  ...gathered,
  foldCross: gathered.foldCross.map(folds => {
    if (folds.length === 1) return folds
    const all = new Float64Array(gathered.plan.grid.fftSize + 2)
    for (const fold of folds) {
      if (fold === null) continue
      add(all, fold)
      takeBack(fold)
    }
    return [all]
  }),
})

/** With fewer frames than this inside, the edges are needed. */
const LEAST_INSIDE = 3

/** The summed spectra of one pair: from inside the files, and from over their edges where the inside is too little. */
export const pairOf = (gathered: GatheredSpectra, pair: number): GatheredPair => {
  const { grid, pairs } = gathered.plan
  const [first, second] = pairs[pair]!
  const inner = gathered.foldCross[pair]!
  const cross = new Float64Array(grid.fftSize + 2)
  for (const fold of inner) if (fold !== null) add(cross, fold)
  const both = (counts: readonly number[]): number => Math.min(counts[first]!, counts[second]!)
  const inside = both(gathered.voted)
  const outside = both(gathered.edgeVoted)
  const common = {
    sampleRateHz: grid.sampleRateHz,
    fftSize: grid.fftSize,
    windowLength: grid.windowLength,
    independent: independentFrames(gathered.votes[pair]!, independentShare(grid.hopsPerWindow)),
  }
  const seconds = (frames: number): number => (Math.max(1, frames) * grid.hop) / grid.sampleRateHz
  const sums = {
    ...common,
    first: gathered.autos[first]!,
    second: gathered.autos[second]!,
    cross,
    seconds: seconds(inside),
  }
  if (outside === 0) return { sums, whole: sums, folds: inner }
  const edge = gathered.edgeCross[pair]!
  const whole = {
    ...common,
    first: joined(gathered.autos[first]!, gathered.edgeAutos[first]!),
    second: joined(gathered.autos[second]!, gathered.edgeAutos[second]!),
    cross: joined(cross, edge),
    seconds: seconds(inside + outside - (grid.hopsPerWindow - 1)),
  }
  return {
    sums: inside < LEAST_INSIDE ? whole : sums,
    whole,
    folds: [...inner, edge === NO_EDGE ? null : edge],
  }
}

/** For when everything that was asked of a pair is answered: what `pairOf` made is given back at once. */
export const letGoOfPair = ({ sums, whole }: GatheredPair): void => {
  letGo(whole === sums ? [sums.cross] : [sums.cross, whole.first, whole.second, whole.cross])
}

type Numbers = Float32Array | Float64Array

const joined = (a: Float64Array, b: Numbers): Float64Array => a.map((v, k) => v + b[k]!)

const add = (target: Numbers, part: Numbers): void => {
  for (let k = 0; k < part.length; k++) target[k] = target[k]! + part[k]!
}
