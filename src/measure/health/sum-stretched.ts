import { interrupted } from '../../terms/interrupted.js'
import type { TaskContext } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { accumulateSpectra } from '../spectra/accumulate.js'
import type { SegmentSpectra } from '../spectra/segment-spectra.js'
import type { SumSpectraInput } from '../spectra/sum-spectra.js'
import { stretchedSource } from './stretched-source.js'

export interface SumStretchedInput extends SumSpectraInput {
  /** Per source: frames of its file to one frame of the group. */
  readonly factors: readonly number[]
}

/**
 * Task: as `sumSpectra`, with every source read as if its rate were another.
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const sumStretched = (input: SumStretchedInput, context: TaskContext): SegmentSpectra => {
  const readers: SourceReader[] = []
  try {
    for (const { file, selection } of input.files) readers.push(openSource(file, selection))
    const sources = readers.map((reader, i) => stretchedSource(reader, input.factors[i]!))
    const sums = accumulateSpectra(sources, input.plan, input.segment, () => context.aborted)
    if (context.aborted) throw interrupted()
    return sums
  } finally {
    for (const reader of readers) reader.close()
  }
}
