import { RealFft } from '../../signal/fft.js'
import { float64 } from '../../signal/kernel/arena.js'
import { SingleFft } from '../../signal/single-fft.js'
import { moveInto, powerInto } from '../../signal/single-sums.js'
import { blockPeaks } from '../time/block-peaks.js'
import { FrameBatch, interleaved, turnApart } from './frame-batch.js'
import type { FrameGrid, GridSegment } from './frame-grid.js'
import { frameMiddleSeconds, frameStart } from './frame-grid.js'
import { FrameLoader } from './frame-loader.js'
import type { FrameSource } from './frame-source.js'
import { ReadAhead } from './read-ahead.js'
import { REGISTERS, registerOf } from './registers.js'
import { exactShift, type ShiftSchedule, scheduledShift } from './schedule.js'
import { type BlockTrack, TrackBands } from './track-bands.js'

/** One channel of one source. */
export interface Trace {
  readonly source: number
  readonly channel: number
}

/** What to sum, for all segments of a group alike. Plain data. */
export interface SpectraPlan {
  readonly grid: FrameGrid
  readonly traces: readonly Trace[]
  /** Per source: where its first frame lies in the group's time, frames. */
  readonly startFrames: readonly number[]
  /** Per source: by how much it is read ahead (positive: it is late, and is pulled forward by that much). */
  readonly shifts: readonly ShiftSchedule[]
  /** Pairs of traces, first against second. */
  readonly pairs: readonly (readonly [number, number])[]
  /** Pairs (by index) whose lag is followed over time. */
  readonly tracked: readonly number[]
  /** Also list the clearest lags of every block within so many frames; null: do not. */
  readonly peakRangeSamples: number | null
  /** Per trace: mean square below which a frame does not vote. */
  readonly gates: readonly number[]
  /** Per source: its length, frames. */
  readonly lengths: readonly number[]
  /**
   * Stretch of the group's time that all sources have sound for once they are shifted: outside of it all count as silence, so
   * that a part which only one of them has does not pass for noise. Null: no such cut.
   */
  readonly shared: { readonly startFrame: number; readonly endFrame: number } | null
  /** Stretches of the group's time that count, seconds; null = all. */
  readonly passage: readonly { readonly startSeconds: number; readonly endSeconds: number }[] | null
}

/**
 * Sums over one segment. Spectra have `fftSize / 2 + 1` bins; cross-spectra are `conj(first) * second`, interleaved, and handed on in
 * single precision: there are many of them.
 */
export interface SegmentSpectra {
  readonly fold: number
  readonly firstHop: number
  /** Per trace: mean square of every frame, voting or not; NaN for frames outside of the passage, and for traces of no pair. */
  readonly levels: readonly Float32Array[]
  /** Per trace; empty for those of no pair. */
  readonly autos: readonly Float64Array[]
  readonly cross: readonly Float32Array[]
  /**
   * The same of the frames that hang over the start or end of a file; null without any. Kept apart: a file that is cut in the
   * middle of a sound has a click there, and clicks at the edges of two files line up whatever the paths do.
   */
  readonly edge: {
    readonly autos: readonly Float64Array[]
    readonly cross: readonly Float32Array[]
    /** Per trace: number of these frames. */
    readonly voted: readonly number[]
  } | null
  /** Per pair and register: sums of a, a^2 over frames with a = root of the product of the energies; for counting frames. */
  readonly votes: readonly Float64Array[]
  readonly blocks: readonly BlockTrack[]
  /** Per trace: number of frames that voted. */
  readonly voted: readonly number[]
}

/**
 * Streams one segment of all sources of a group through the transform and sums what `plan` asks for. One long function: every sum is made from the
 * buffers of the frame at hand, while they are.
 */
export const accumulateSpectra = (
  sources: readonly FrameSource[],
  plan: SpectraPlan,
  segment: GridSegment,
  aborted: () => boolean = () => false,
): SegmentSpectra => {
  const { grid, traces, pairs } = plan
  const fft = new SingleFft(grid.fftSize)
  const loader = new FrameLoader(grid, fft.frame)
  const { bins } = fft
  const registers = registersOfBins(grid, bins)
  // What is in no pair takes no memory.
  const compared = traces.map((_, t) => pairs.some(pair => pair.includes(t)))
  const batch = new FrameBatch(compared, fft, pairs)
  const autos = compared.map(is => float64(is ? bins : 0))
  const blockAutos = compared.map(is => float64(is ? bins : 0))
  const cross = pairs.map(() => float64(2 * fft.apart))
  // Pairs that are followed over time are summed block by block first.
  const blockCross = cross.map((sums, p) => (plan.tracked.includes(p) ? float64(2 * fft.apart) : sums))
  const votes = pairs.map(() => new Float64Array(2 * REGISTERS))
  const voted = traces.map(() => 0)
  const levels = traces.map(() => new Float32Array(segment.endHop - segment.firstHop).fill(Number.NaN))
  const energies = traces.map(() => new Float64Array(REGISTERS))
  const active = traces.map(() => false)
  const cut = float64(grid.windowLength)
  const bands = new TrackBands(grid)
  const blocks: BlockTrack[] = []
  const asked = sources.map((source, i) =>
    traces.some((t, n) => t.source === i && compared[n]) ? source.channels : 0,
  )
  const buffers = new ReadAhead(
    sources,
    grid,
    asked.reduce((sum, channels) => sum + channels, 0),
  )
  const peaksFft = plan.peakRangeSamples === null ? null : new RealFft(grid.fftSize)

  let blockVotes = 0
  const blockFrames = pairs.map(() => 0)
  let edge: { autos: Float64Array[]; cross: Float64Array[]; voted: number[] } | null = null
  const closeBlock = (firstHop: number, endHop: number) => {
    batch.sumInto(blockCross)
    if (blockVotes > 0) {
      const middle = (frameMiddleSeconds(grid, firstHop) + frameMiddleSeconds(grid, endHop - 1)) / 2
      blocks.push({
        atSeconds: middle,
        frames: plan.tracked.map(index => blockFrames[index]!),
        pairs: plan.tracked.map(index => {
          const [first, second] = pairs[index]!
          return bands.reduce(blockAutos[first]!, blockAutos[second]!, blockCross[index]!)
        }),
        peaks: plan.tracked.map(index => {
          const [first, second] = pairs[index]!
          const { peakRangeSamples } = plan
          if (peakRangeSamples === null || peaksFft === null) return []
          const sums = interleaved(blockCross[index]!, new Float64Array(2 * bins))
          return blockPeaks(blockAutos[first]!, blockAutos[second]!, sums, peakRangeSamples, peaksFft)
        }),
      })
    }
    for (let i = 0; i < traces.length; i++) moveInto(autos[i]!, blockAutos[i]!)
    for (const index of plan.tracked) moveInto(cross[index]!, blockCross[index]!)
    blockVotes = 0
    blockFrames.fill(0)
  }

  let blockStart = segment.firstHop
  for (let hop = segment.firstHop; hop < segment.endHop; hop++) {
    if (aborted()) break
    if (inPassage(plan, frameMiddleSeconds(grid, hop))) {
      const start = frameStart(grid, hop)
      const seconds = frameMiddleSeconds(grid, hop)
      const onEdge = overAnEdge(plan, start, seconds)
      if (onEdge) {
        batch.sumInto(blockCross)
        edge ??= {
          autos: compared.map(is => new Float64Array(is ? bins : 0)),
          cross: pairs.map(() => new Float64Array(2 * fft.apart)),
          voted: traces.map(() => 0),
        }
      }
      const intoAutos = onEdge ? edge!.autos : blockAutos
      const { latest } = batch
      for (let t = 0; t < traces.length; t++) {
        if (!compared[t]) continue
        const trace = traces[t]!
        const exact = exactShift(plan.shifts[trace.source]!, seconds)
        const shift = Math.round(exact)
        const samples = insideShared(
          plan,
          start,
          buffers.at(trace, start - plan.startFrames[trace.source]! + shift),
          cut,
        )
        const meanSquare = loader.load(samples, fft.frame)
        levels[t]![hop - segment.firstHop] = meanSquare
        active[t] = meanSquare > plan.gates[t]!
        if (!active[t]) {
          latest[t]!.fill(0)
          continue
        }
        const voices = onEdge ? edge!.voted : voted
        voices[t] = voices[t]! + 1
        fft.forward(latest[t]!)
        if (shift !== exact) turnApart(latest[t]!, exact - shift, grid.fftSize)
        if (!onEdge) blockVotes++
        addPowerByRegister(latest[t]!, intoAutos[t]!, registers, energies[t]!)
      }
      if (batch.take() || onEdge) batch.sumInto(onEdge ? edge!.cross : blockCross)
      if (!onEdge) {
        for (let p = 0; p < pairs.length; p++) {
          const [first, second] = pairs[p]!
          if (!active[first] || !active[second]) continue
          blockFrames[p] = blockFrames[p]! + 1
          countVotes(energies[first]!, energies[second]!, votes[p]!)
        }
      }
    }
    if (hop + 1 === segment.endHop || (hop + 1) % grid.hopsPerBlock === 0) {
      closeBlock(blockStart, hop + 1)
      blockStart = hop + 1
    }
  }
  return {
    fold: segment.fold,
    firstHop: segment.firstHop,
    levels,
    autos: autos.map(sums => sums.slice()), // out of the memory of the task
    cross: cross.map(sums => interleaved(sums, new Float32Array(2 * bins))),
    edge:
      edge === null
        ? null
        : { ...edge, cross: edge.cross.map(sums => interleaved(sums, new Float32Array(2 * bins))) },
    votes,
    blocks,
    voted,
  }
}

// First bin of every register, and one past the last of all.
const registersOfBins = (grid: FrameGrid, bins: number): readonly number[] => {
  const edges = Array.from({ length: REGISTERS + 1 }, () => bins)
  for (let k = bins - 1; k >= 0; k--) edges[registerOf((k * grid.sampleRateHz) / grid.fftSize)] = k
  for (let r = REGISTERS - 1; r >= 0; r--) edges[r] = Math.min(edges[r]!, edges[r + 1]!)
  return edges
}

const inPassage = (plan: SpectraPlan, seconds: number): boolean =>
  plan.passage === null || plan.passage.some(p => seconds >= p.startSeconds && seconds < p.endSeconds)

// True where the frame holds the first or last frame of any source's file.
const overAnEdge = (plan: SpectraPlan, start: number, seconds: number): boolean =>
  plan.startFrames.some((startFrame, source) => {
    const at = startFrame - scheduledShift(plan.shifts[source]!, seconds)
    const end = at + plan.lengths[source]!
    const last = start + plan.grid.windowLength
    return (start < at && last > at) || (start < end && last > end)
  })

// The frame itself where it lies within the shared stretch, else a copy with silence outside of it.
const insideShared = (
  plan: SpectraPlan,
  start: number,
  samples: Float64Array,
  edge: Float64Array,
): Float64Array => {
  if (plan.shared === null) return samples
  const before = Math.max(0, plan.shared.startFrame - start)
  const after = Math.max(0, start + samples.length - plan.shared.endFrame)
  if (before === 0 && after === 0) return samples
  edge.set(samples)
  edge.fill(0, 0, Math.min(before, edge.length))
  edge.fill(0, Math.max(0, edge.length - after))
  return edge
}

const addPowerByRegister = (
  spectrum: Float32Array,
  sum: Float64Array,
  registers: readonly number[],
  energies: Float64Array,
): void => {
  for (let r = 0; r < REGISTERS; r++) {
    energies[r] = powerInto(spectrum, sum, 1, registers[r], registers[r + 1])
  }
}

const countVotes = (first: Float64Array, second: Float64Array, votes: Float64Array): void => {
  for (let r = 0; r < REGISTERS; r++) {
    const product = first[r]! * second[r]!
    votes[2 * r] = votes[2 * r]! + Math.sqrt(product)
    votes[2 * r + 1] = votes[2 * r + 1]! + product
  }
}
