import { float64 } from '../../signal/kernel/arena.js'
import type { VariableDelay } from '../../signal/variable-delay.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { followingDelay } from './placement.js'
import type { View, ViewSource } from './view.js'

interface OpenSource {
  readonly reader: SourceReader
  /** Where its frame 0 lies, whole; for a source that does not follow. */
  readonly at: number
  readonly following: VariableDelay | null
  /** One array per channel, a block long. */
  readonly channels: readonly Float64Array[]
}

/**
 * Reads the signals of a view where they lie: by whole frames, so that nothing is filtered, and the fraction is left to the phase of the
 * spectra; a source whose shift changes during the take by the renderer's own filter. Close it when done.
 */
export class TimelineReader {
  readonly #view: View
  readonly #open: OpenSource[] = []

  /** @throws SumwellError as `openSource` */
  constructor(view: View, blockFrames: number) {
    this.#view = view
    try {
      for (const source of view.sources) this.#open.push(openedSource(source, view.sampleRateHz, blockFrames))
    } catch (error) {
      this.close()
      throw error
    }
  }

  /** Fills `into`, one array of a block's length per signal, from `start` on the timeline; silence where there is no sound. */
  read(start: number, into: readonly Float64Array[]): void {
    const { signals, frames } = this.#view
    for (const source of this.#open) readSource(source, start)
    signals.forEach(({ source, channel }, i) => {
      const samples = into[i]!
      samples.set(this.#open[source]!.channels[channel]!)
      if (start < 0) samples.fill(0, 0, -start)
      if (start + samples.length > frames) samples.fill(0, Math.max(0, frames - start))
    })
  }

  /** Where a source lies around a frame of the timeline, as it was read. */
  offset(source: number, timelineFrame: number): number {
    const { at, following } = this.#open[source]!
    return following === null ? at : following.shiftAt(timelineFrame)
  }

  close(): void {
    for (const { reader } of this.#open) reader.close()
  }
}

const openedSource = (source: ViewSource, sampleRateHz: number, blockFrames: number): OpenSource => {
  const { file, selection, placement } = source
  const { follow } = placement
  return {
    reader: openSource(file, selection),
    at: Math.round(placement.atSamples),
    following: follow === null ? null : followingDelay(placement, follow, sampleRateHz),
    channels: Array.from({ length: source.channels }, () => float64(blockFrames)),
  }
}

const readSource = ({ reader, at, following, channels }: OpenSource, start: number): void => {
  if (following === null) {
    reader.read(start - at, channels)
    return
  }
  const range = following.inputRange(start, channels[0]?.length ?? 0)
  const input = channels.map(() => new Float64Array(range.length))
  reader.read(range.start, input)
  channels.forEach((output, c) => {
    following.apply(start, input[c]!, range.start, output)
  })
}
