import type { ChannelSelection } from '../../recipe/session.js'
import { interrupted } from '../../terms/interrupted.js'
import type { TaskContext } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { accumulateSpectra, type SegmentSpectra, type SpectraPlan } from './accumulate.js'
import type { GridSegment } from './frame-grid.js'

export interface SumSpectraInput {
  /** One file per source of the plan, in its order. */
  readonly files: readonly { readonly file: string; readonly selection: ChannelSelection }[]
  readonly plan: SpectraPlan
  readonly segment: GridSegment
}

/** Memory for reading ahead in all files together, and in each at least. */
const ALL_BUFFER_BYTES = 1 << 21
const LEAST_BUFFER_BYTES = 1 << 16

/**
 * Task: the spectra of one segment of time, summed. Memory: the sums and a few seconds of sound.
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const sumSpectra = (input: SumSpectraInput, context: TaskContext): SegmentSpectra => {
  const readers: SourceReader[] = []
  try {
    const bufferBytes = Math.max(LEAST_BUFFER_BYTES, Math.min(1 << 18, ALL_BUFFER_BYTES / input.files.length))
    for (const { file, selection } of input.files) readers.push(openSource(file, selection, { bufferBytes }))
    const sums = accumulateSpectra(readers, input.plan, input.segment, () => context.aborted)
    if (context.aborted) throw interrupted()
    const hops = input.segment.endHop - input.segment.firstHop
    context.advance((hops * input.plan.grid.hop * readers.length) / input.plan.grid.sampleRateHz)
    return sums
  } finally {
    for (const reader of readers) reader.close()
  }
}
