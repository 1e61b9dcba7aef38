import { RealFft } from '../../signal/fft.js'
import { float64 } from '../../signal/kernel/arena.js'
import { SingleFft } from '../../signal/single-fft.js'
import { moveInto } from '../../signal/single-sums.js'
import { type BlockPeak, blockPeaks } from '../time/block-peaks.js'
import { FrameBatch, interleaved, turnApart } from './frame-batch.js'
import type { GridSegment } from './frame-grid.js'
import { frameMiddleSeconds, frameStart } from './frame-grid.js'
import { FrameLoader } from './frame-loader.js'
import { inPassage, insideShared, overAnEdge } from './frame-place.js'
import type { FrameSource } from './frame-source.js'
import { ReadAhead } from './read-ahead.js'
import { addPowerByRegister, countVotes, REGISTERS, registersOfBins } from './registers.js'
import { exactShift } from './schedule.js'
import type { SegmentSpectra, SpectraPlan } from './segment-spectra.js'
import { type BandSums, type BlockTrack, TrackBands } from './track-bands.js'

/** Streams one segment of all sources of a group through the transform and sums what `plan` asks for. */
export const accumulateSpectra = (
  sources: readonly FrameSource[],
  plan: SpectraPlan,
  segment: GridSegment,
  aborted: () => boolean = () => false,
): SegmentSpectra => {
  const work = new SegmentWork(sources, plan, segment)
  for (let hop = segment.firstHop; hop < segment.endHop; hop++) {
    if (aborted()) break
    work.add(hop)
  }
  return work.result()
}

interface EdgeSums {
  readonly autos: readonly Float64Array[]
  readonly cross: readonly Float64Array[]
  readonly voted: number[]
}

/** The sums of one segment, hop by hop. In small parts: as one long function it took the engine half a second to make it fast. */
class SegmentWork {
  readonly #plan: SpectraPlan
  readonly #segment: GridSegment
  readonly #fft: SingleFft
  readonly #loader: FrameLoader
  readonly #registers: readonly number[]
  /** Per trace: whether it is in a pair. What is in none takes no memory. */
  readonly #compared: readonly boolean[]
  readonly #batch: FrameBatch
  readonly #autos: readonly Float64Array[]
  readonly #blockAutos: readonly Float64Array[]
  readonly #cross: readonly Float64Array[]
  /** Pairs that are followed over time are summed block by block first; the others are those of `#cross`. */
  readonly #blockCross: readonly Float64Array[]
  readonly #votes: readonly Float64Array[]
  readonly #voted: number[]
  readonly #levels: readonly Float32Array[]
  /** Of the frame at hand, per trace. */
  readonly #energies: readonly Float64Array[]
  readonly #active: boolean[]
  readonly #cut: Float64Array
  readonly #bands: TrackBands
  readonly #blocks: BlockTrack[] = []
  readonly #buffers: ReadAhead
  readonly #peaksFft: RealFft | null
  readonly #blockFrames: number[]
  #blockVotes = 0
  #blockStart: number
  #edge: EdgeSums | null = null

  constructor(sources: readonly FrameSource[], plan: SpectraPlan, segment: GridSegment) {
    const { grid, traces, pairs } = plan
    const fft = new SingleFft(grid.fftSize)
    const { bins } = fft
    const compared = traces.map((_, t) => pairs.some(pair => pair.includes(t)))
    this.#plan = plan
    this.#segment = segment
    this.#fft = fft
    this.#loader = new FrameLoader(grid, fft.frame)
    this.#registers = registersOfBins(grid, bins)
    this.#compared = compared
    this.#batch = new FrameBatch(compared, fft, pairs)
    this.#autos = compared.map(is => float64(is ? bins : 0))
    this.#blockAutos = compared.map(is => float64(is ? bins : 0))
    this.#cross = pairs.map(() => float64(2 * fft.apart))
    this.#blockCross = this.#cross.map((sums, p) =>
      plan.tracked.includes(p) ? float64(2 * fft.apart) : sums,
    )
    this.#votes = pairs.map(() => new Float64Array(2 * REGISTERS))
    this.#voted = traces.map(() => 0)
    this.#levels = traces.map(() => new Float32Array(segment.endHop - segment.firstHop).fill(Number.NaN))
    this.#energies = traces.map(() => new Float64Array(REGISTERS))
    this.#active = traces.map(() => false)
    this.#cut = float64(grid.windowLength)
    this.#bands = new TrackBands(grid)
    const asked = sources.map((source, i) =>
      traces.some((t, n) => t.source === i && compared[n]) ? source.channels : 0,
    )
    this.#buffers = new ReadAhead(
      sources,
      grid,
      asked.reduce((sum, channels) => sum + channels, 0),
    )
    this.#peaksFft = plan.peakRangeSamples === null ? null : new RealFft(grid.fftSize)
    this.#blockFrames = pairs.map(() => 0)
    this.#blockStart = segment.firstHop
  }

  add(hop: number): void {
    const { grid } = this.#plan
    const seconds = frameMiddleSeconds(grid, hop)
    if (inPassage(this.#plan, seconds)) this.#frame(hop, seconds)
    if (hop + 1 === this.#segment.endHop || (hop + 1) % grid.hopsPerBlock === 0) {
      this.#closeBlock(hop + 1)
      this.#blockStart = hop + 1
    }
  }

  result(): SegmentSpectra {
    const single = (sums: Float64Array): Float32Array =>
      interleaved(sums, new Float32Array(2 * this.#fft.bins))
    const edge = this.#edge
    return {
      fold: this.#segment.fold,
      firstHop: this.#segment.firstHop,
      levels: this.#levels,
      autos: this.#autos.map(sums => sums.slice()), // out of the memory of the task
      cross: this.#cross.map(single),
      edge: edge === null ? null : { ...edge, cross: edge.cross.map(single) },
      votes: this.#votes,
      blocks: this.#blocks,
      voted: this.#voted,
    }
  }

  #frame(hop: number, seconds: number): void {
    const start = frameStart(this.#plan.grid, hop)
    const edge = overAnEdge(this.#plan, start, seconds) ? this.#edgeSums() : null
    for (let t = 0; t < this.#compared.length; t++) {
      if (this.#compared[t]) this.#trace(t, hop, seconds, start, edge)
    }
    if (this.#batch.take() || edge !== null) this.#batch.sumInto(edge?.cross ?? this.#blockCross)
    if (edge === null) this.#countVotes()
  }

  // What waits belongs to the frames before.
  #edgeSums(): EdgeSums {
    this.#batch.sumInto(this.#blockCross)
    this.#edge ??= {
      autos: this.#compared.map(is => new Float64Array(is ? this.#fft.bins : 0)),
      cross: this.#plan.pairs.map(() => new Float64Array(2 * this.#fft.apart)),
      voted: this.#compared.map(() => 0),
    }
    return this.#edge
  }

  #trace(t: number, hop: number, seconds: number, start: number, edge: EdgeSums | null): void {
    const plan = this.#plan
    const trace = plan.traces[t]!
    const latest = this.#batch.latest[t]!
    const exact = exactShift(plan.shifts[trace.source]!, seconds)
    const shift = Math.round(exact)
    const read = this.#buffers.at(trace, start - plan.startFrames[trace.source]! + shift)
    const meanSquare = this.#loader.load(insideShared(plan, start, read, this.#cut), this.#fft.frame)
    this.#levels[t]![hop - this.#segment.firstHop] = meanSquare
    const active = meanSquare > plan.gates[t]!
    this.#active[t] = active
    if (!active) {
      latest.fill(0)
      return
    }
    const voices = edge === null ? this.#voted : edge.voted
    voices[t] = voices[t]! + 1
    this.#fft.forward(latest)
    if (shift !== exact) turnApart(latest, exact - shift, plan.grid.fftSize)
    if (edge === null) this.#blockVotes++
    const into = edge === null ? this.#blockAutos : edge.autos
    addPowerByRegister(latest, into[t]!, this.#registers, this.#energies[t]!)
  }

  #countVotes(): void {
    const { pairs } = this.#plan
    for (let p = 0; p < pairs.length; p++) {
      const [first, second] = pairs[p]!
      if (!this.#active[first] || !this.#active[second]) continue
      this.#blockFrames[p] = this.#blockFrames[p]! + 1
      countVotes(this.#energies[first]!, this.#energies[second]!, this.#votes[p]!)
    }
  }

  #closeBlock(endHop: number): void {
    const { grid, tracked } = this.#plan
    this.#batch.sumInto(this.#blockCross)
    if (this.#blockVotes > 0) {
      const middle = (frameMiddleSeconds(grid, this.#blockStart) + frameMiddleSeconds(grid, endHop - 1)) / 2
      this.#blocks.push({
        atSeconds: middle,
        frames: tracked.map(index => this.#blockFrames[index]!),
        pairs: tracked.map(index => this.#bandsOf(index)),
        peaks: tracked.map(index => this.#peaksOf(index)),
      })
    }
    this.#autos.forEach((sums, t) => {
      moveInto(sums, this.#blockAutos[t]!)
    })
    for (const index of tracked) moveInto(this.#cross[index]!, this.#blockCross[index]!)
    this.#blockVotes = 0
    this.#blockFrames.fill(0)
  }

  #bandsOf(index: number): BandSums {
    const [first, second] = this.#plan.pairs[index]!
    return this.#bands.reduce(this.#blockAutos[first]!, this.#blockAutos[second]!, this.#blockCross[index]!)
  }

  #peaksOf(index: number): readonly BlockPeak[] {
    const { pairs, peakRangeSamples } = this.#plan
    if (peakRangeSamples === null || this.#peaksFft === null) return []
    const [first, second] = pairs[index]!
    const sums = interleaved(this.#blockCross[index]!, new Float64Array(2 * this.#fft.bins))
    return blockPeaks(
      this.#blockAutos[first]!,
      this.#blockAutos[second]!,
      sums,
      peakRangeSamples,
      this.#peaksFft,
    )
  }
}
