import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { offsetAt } from './placement.js'
import type { View, ViewSource } from './view.js'

/** Stretch over which a position that changes is held: 21 ms at 48 kHz, in which 100 ppm of drift make a tenth of a frame. */
const STEADY_FRAMES = 1024

/** Reads the signals of a view, each source moved by whole frames to where it lies. Close it when done. */
export class TimelineReader {
  readonly #view: View
  readonly #readers: SourceReader[] = []
  readonly #channels: Float64Array[][]

  /** @throws SumwellError as `openSource` */
  constructor(view: View, blockFrames: number) {
    this.#view = view
    this.#channels = view.sources.map(source =>
      Array.from({ length: source.channels }, () => new Float64Array(blockFrames)),
    )
    try {
      for (const { file, selection } of view.sources) this.#readers.push(openSource(file, selection))
    } catch (error) {
      this.close()
      throw error
    }
  }

  /** Fills `into`, one array of a block's length per signal, from `start` on the timeline; silence where there is no sound. */
  read(start: number, into: readonly Float64Array[]): void {
    const { sources, signals, frames } = this.#view
    sources.forEach((source, s) => {
      this.#readSource(source, this.#readers[s]!, this.#channels[s]!, start)
    })
    signals.forEach((signal, i) => {
      const samples = into[i]!
      samples.set(this.#channels[signal.source]![signal.channel]!)
      if (start < 0) samples.fill(0, 0, -start)
      if (start + samples.length > frames) samples.fill(0, Math.max(0, frames - start))
    })
  }

  /** How much later the source should lie than it was read, frames, on average over [start, start + frames): -0.5 … 0.5. */
  residual(source: number, start: number, frames: number): number {
    const { placement } = this.#view.sources[source]!
    const rate = this.#view.sampleRateHz
    if (placement.follow === null) return placement.atSamples - Math.round(placement.atSamples)
    let sum = 0
    let count = 0
    for (let at = start; at < start + frames; at += STEADY_FRAMES) {
      const offset = offsetAt(placement, at + STEADY_FRAMES / 2, rate)
      sum += offset - Math.round(offset)
      count++
    }
    return sum / count
  }

  /** Where the source lies around the middle of [start, start + frames), frames on the timeline. */
  offset(source: number, start: number, frames: number): number {
    return offsetAt(this.#view.sources[source]!.placement, start + frames / 2, this.#view.sampleRateHz)
  }

  close(): void {
    for (const reader of this.#readers) reader.close()
  }

  #readSource(source: ViewSource, reader: SourceReader, into: Float64Array[], start: number): void {
    const { placement } = source
    if (placement.follow === null) {
      reader.read(start - Math.round(placement.atSamples), into)
      return
    }
    const length = into[0]?.length ?? 0
    for (let at = 0; at < length; at += STEADY_FRAMES) {
      const stretch = into.map(samples => samples.subarray(at, at + STEADY_FRAMES))
      const offset = offsetAt(placement, start + at + STEADY_FRAMES / 2, this.#view.sampleRateHz)
      reader.read(start + at - Math.round(offset), stretch)
    }
  }
}
