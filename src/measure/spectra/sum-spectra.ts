import type { ChannelSelection } from '../../recipe/session.js'
import { interrupted } from '../../terms/interrupted.js'
import type { TaskContext } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { accumulateSpectra } from './accumulate.js'
import type { GridSegment } from './frame-grid.js'
import type { FrameSource } from './frame-source.js'
import type { SegmentSpectra, SpectraPlan } from './segment-spectra.js'

export interface SumSpectraInput {
  /** One file per source of the plan, in its order. */
  readonly files: readonly { readonly file: string; readonly selection: ChannelSelection }[]
  readonly plan: SpectraPlan
  readonly segment: GridSegment
}

/** Memory for reading ahead in all files together, and in each at least. */
const ALL_BUFFER_BYTES = 1 << 21
const LEAST_BUFFER_BYTES = 1 << 16

const NOT_ASKED: FrameSource = { channels: 0, read: () => undefined }

/**
 * Task: the spectra of one segment of time, summed. Memory: the sums and a few seconds of sound.
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const sumSpectra = (input: SumSpectraInput, context: TaskContext): SegmentSpectra => {
  const readers: SourceReader[] = []
  try {
    // Of many sources some are in no pair that is asked for: their files are not opened.
    const { traces, pairs } = input.plan
    const asked = new Set(pairs.flat().map(trace => traces[trace]!.source))
    const bufferBytes = Math.max(LEAST_BUFFER_BYTES, Math.min(1 << 18, ALL_BUFFER_BYTES / asked.size))
    const sources = input.files.map(({ file, selection }, source): FrameSource => {
      if (!asked.has(source)) return NOT_ASKED
      const reader = openSource(file, selection, { bufferBytes })
      readers.push(reader)
      return reader
    })
    const sums = accumulateSpectra(sources, input.plan, input.segment, () => context.aborted)
    if (context.aborted) throw interrupted()
    const hops = input.segment.endHop - input.segment.firstHop
    context.advance((hops * input.plan.grid.hop * readers.length) / input.plan.grid.sampleRateHz)
    return sums
  } finally {
    for (const reader of readers) reader.close()
  }
}
