import type { Move } from '../../decide/plan.js'
import type { Polarity } from '../../measure/measurement.js'
import type { ChannelSelection } from '../../recipe/session.js'
import { applyDelay, designDelay } from '../../signal/fractional-delay.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import type { ReusedArrays } from './reused-arrays.js'

/** One source of a close-up as a task gets it: plain data. */
export interface TracedSource {
  readonly source: string
  /** Absolute, and as shown to people. */
  readonly file: string
  readonly fileShown: string
  readonly selection: ChannelSelection
  /** Frame of the timeline on which its first frame lies as recorded. */
  readonly recordedAtSamples: number
  /** How late it was measured to be; 0 where that is not known. */
  readonly lagSamples: number
  readonly shiftSamples: number
  readonly polarity: Polarity
  readonly follow: Move['follow']
}

/** The first channel of a source on the song's timeline, as recorded or moved. Zeros outside the file. */
export class TraceReader {
  readonly traced: TracedSource
  private readonly reader: SourceReader
  private readonly sampleRateHz: number
  private readonly arrays: ReusedArrays

  /** `arrays`: shared by all sources of a close-up. */
  constructor(traced: TracedSource, arrays: ReusedArrays) {
    this.traced = traced
    this.arrays = arrays
    this.reader = openSource(traced.file, traced.selection)
    this.sampleRateHz = this.reader.facts.sampleRateHz
  }

  /** Fills `into` from a frame of the timeline on, and hands it back. */
  recorded(startFrame: number, into: Float64Array): Float64Array {
    // Of the other channels nothing is kept: all go to one place.
    const other = this.reader.channels > 1 ? this.arrays.of('other channels', into.length) : into
    const block = Array.from({ length: this.reader.channels }, (_, channel) => (channel === 0 ? into : other))
    this.reader.read(startFrame - Math.round(this.traced.recordedAtSamples), block)
    return into
  }

  /** What lies at these frames after a shift (positive = moved later) and the polarity of the move; to be used before the next is asked for. */
  moved(startFrame: number, frames: number, shiftSamples: number): Float64Array {
    const whole = Math.floor(shiftSamples)
    const kernel = designDelay(shiftSamples - whole, this.sampleRateHz)
    const margin = kernel.halfLength
    const around = this.arrays.of('around', frames + 2 * margin)
    const input = this.recorded(startFrame - whole - margin, around)
    const output = this.arrays.of('moved', frames)
    applyDelay(kernel, input, output)
    if (this.traced.polarity === 'inverted') for (let i = 0; i < frames; i++) output[i] = -output[i]!
    return output
  }

  /** The shift of the move at a frame of the timeline: constant, or between the knots of one that follows the take. */
  shiftAt(frame: number): number {
    const knots = this.traced.follow
    if (knots === null || knots.length === 0) return this.traced.shiftSamples
    const seconds = (frame - this.traced.recordedAtSamples) / this.sampleRateHz
    const next = knots.findIndex(knot => knot.atSeconds >= seconds)
    if (next <= 0) return knots[next === 0 ? 0 : knots.length - 1]!.shiftSamples
    const [a, b] = [knots[next - 1]!, knots[next]!]
    const share = (seconds - a.atSeconds) / (b.atSeconds - a.atSeconds)
    return a.shiftSamples + share * (b.shiftSamples - a.shiftSamples)
  }

  close(): void {
    this.reader.close()
  }
}
