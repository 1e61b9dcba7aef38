import { independentFrames, type PairSums } from '../pair/pair-sums.js'
import type { SegmentSpectra, SpectraPlan } from '../spectra/accumulate.js'
import { type FrameGrid, independentShare } from '../spectra/frame-grid.js'
import { REGISTERS } from '../spectra/registers.js'
import type { BlockTrack } from '../spectra/track-bands.js'

/** All segments of a pass summed up, in order of time whatever order they were made in. */
export interface GatheredSpectra {
  readonly plan: SpectraPlan
  readonly autos: readonly Float64Array[]
  /** Per pair and fold; null where nothing was played in it. */
  readonly foldCross: readonly (readonly (Float64Array | null)[])[]
  readonly votes: readonly Float64Array[]
  readonly blocks: readonly BlockTrack[]
  readonly voted: readonly number[]
  /** Per trace: mean square of every frame of the grid. */
  readonly levels: readonly Float32Array[]
}

export const gatherSpectra = async (
  plan: SpectraPlan,
  segments: readonly Promise<SegmentSpectra>[],
): Promise<GatheredSpectra> => {
  const { traces, pairs, grid } = plan
  const bins = grid.fftSize / 2 + 1
  const autos = traces.map(() => new Float64Array(bins))
  const foldCross = pairs.map(() => Array.from({ length: grid.folds }, (): Float64Array | null => null))
  const votes = pairs.map(() => new Float64Array(2 * REGISTERS))
  const voted = traces.map(() => 0)
  const levels = traces.map(() => new Float32Array(grid.hops))
  const blocks: BlockTrack[] = []
  for (const promised of segments) {
    const segment = await promised
    blocks.push(...segment.blocks)
    segment.autos.forEach((part, t) => {
      add(autos[t]!, part)
      voted[t] = voted[t]! + segment.voted[t]!
      levels[t]!.set(segment.levels[t]!, segment.firstHop)
    })
    segment.cross.forEach((part, p) => {
      add(votes[p]!, segment.votes[p]!)
      if (segment.votes[p]!.every(v => v === 0)) return
      const folds = foldCross[p]!
      folds[segment.fold] ??= new Float64Array(2 * bins)
      add(folds[segment.fold]!, part)
    })
  }
  return { plan, autos, foldCross, votes, blocks, voted, levels }
}

/** One pair's sums, and the parts of time that have a voice in them. */
export const pairOf = (
  gathered: GatheredSpectra,
  pair: number,
): { sums: PairSums; folds: (Float64Array | null)[] } => {
  const { grid, pairs } = gathered.plan
  const [first, second] = pairs[pair]!
  const folds = [...gathered.foldCross[pair]!]
  const cross = new Float64Array(grid.fftSize + 2)
  for (const fold of folds) if (fold !== null) add(cross, fold)
  const both = Math.min(gathered.voted[first]!, gathered.voted[second]!)
  const sums = {
    sampleRateHz: grid.sampleRateHz,
    fftSize: grid.fftSize,
    windowLength: grid.windowLength,
    first: gathered.autos[first]!,
    second: gathered.autos[second]!,
    cross,
    independent: independentFrames(gathered.votes[pair]!, independentShare(grid.hopsPerWindow)),
    seconds: soundingSeconds(grid, both),
  }
  return { sums, folds }
}

const soundingSeconds = (grid: FrameGrid, frames: number): number =>
  (Math.max(1, frames - (grid.hopsPerWindow - 1)) * grid.hop) / grid.sampleRateHz

const add = (target: Float64Array, part: Float64Array): void => {
  for (let k = 0; k < part.length; k++) target[k] = target[k]! + part[k]!
}
