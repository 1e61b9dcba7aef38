import type { PartRun } from '../../decide/plan.js'
import { openRuns, type RunReader } from '../../render/run-reader.js'
import { float64 } from '../../signal/kernel/arena.js'
import type { VariableDelay } from '../../signal/variable-delay.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { followingDelay, runAt } from './placement.js'
import type { View, ViewSource } from './view.js'

/** How much longer than the first stretch a later one may be before there is new room for it. */
const MORE_FRAMES = 64

interface OpenSource {
  readonly reader: SourceReader
  /** Where its frame 0 lies, whole; for a source that does not follow. */
  readonly at: number
  readonly following: VariableDelay | null
  /** For a source in pieces that are moved each for itself. */
  readonly runs: { readonly planned: readonly PartRun[]; readonly reader: RunReader } | null
  /** One array per channel, a block long. */
  readonly channels: readonly Float64Array[]
  /** What the filter of a source that follows draws on, per channel. */
  input: readonly Float64Array[]
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
    const { at, following, runs } = this.#open[source]!
    if (runs !== null) return runAt(runs.planned, timelineFrame)?.atSamples ?? at
    return following === null ? at : following.shiftAt(timelineFrame)
  }

  /** Whether it was turned over on the way, around a frame of the timeline: -1, else 1. */
  sign(source: number, timelineFrame: number): 1 | -1 {
    const { runs } = this.#open[source]!
    return (runs === null ? undefined : runAt(runs.planned, timelineFrame))?.sign ?? 1
  }

  close(): void {
    for (const { reader, runs } of this.#open) {
      reader.close()
      runs?.reader.close()
    }
  }
}

const openedSource = (source: ViewSource, sampleRateHz: number, blockFrames: number): OpenSource => {
  const { file, selection, placement } = source
  const { follow, runs: planned } = placement
  const runs = planned === undefined ? null : { planned, reader: openRuns(planned, selection, sampleRateHz) }
  return {
    reader: openSource(file, selection),
    at: Math.round(placement.atSamples),
    following: follow === null || runs !== null ? null : followingDelay(placement, follow, sampleRateHz),
    runs,
    channels: Array.from({ length: source.channels }, () => float64(blockFrames)),
    input: [],
  }
}

const readSource = (source: OpenSource, start: number): void => {
  const { reader, at, following, runs, channels } = source
  if (runs !== null) {
    if (!runs.reader.read(start, channels, null)) for (const samples of channels) samples.fill(0)
    return
  }
  if (following === null) {
    reader.read(start - at, channels)
    return
  }
  const range = following.inputRange(start, channels[0]?.length ?? 0)
  if ((source.input[0]?.length ?? 0) < range.length) {
    source.input = channels.map(() => float64(range.length + MORE_FRAMES))
  }
  const input = source.input.map(samples => samples.subarray(0, range.length))
  reader.read(range.start, input)
  channels.forEach((output, c) => {
    following.apply(start, input[c]!, range.start, output)
  })
}
