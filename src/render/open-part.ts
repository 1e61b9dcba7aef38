import type { PlannedSource, PlannedStem, StemPart } from '../decide/plan.js'
import { float64 } from '../signal/kernel/arena.js'
import { fault, SumwellError } from '../terms/fault.js'
import { openSource, type SourceReader } from '../wave/source-reader.js'
import { applyFades, type EdgeFades, edgeFadesOf } from './edge-fades.js'
import { fadedStretches, heardFrames, withoutFilter } from './part-edges.js'
import { motionOf, type PartMotion } from './part-motion.js'
import { partOfRuns } from './part-runs.js'

/** One source inside a stem, open for reading at the frames of the stem. */
export interface OpenPart {
  readonly part: StemPart
  readonly source: SourceReader
  readonly channels: number
  /** null where the part is not moved. */
  readonly fades: EdgeFades | null
  /** Stretches of the stem in which a fade is at work, frames from start to end. */
  readonly fadedFrames: readonly { readonly start: number; readonly end: number }[]
  /**
   * The part's own sound, moved and faded but without its gain, one array per channel of the part. False where the stretch lies outside
   * the part: then `into` is not touched.
   */
  read(stemFrame: number, into: readonly Float64Array[]): boolean
  close(): void
}

/**
 * @throws SumwellError WAVE_… where the file cannot be read; WAVE_CHANGED where it is not the one that was measured
 */
export const openPart = (part: StemPart, planned: PlannedSource, stem: PlannedStem): OpenPart => {
  const source = openSource(planned.file, planned.selection)
  try {
    refuseOther(source, planned)
    if (part.runs !== undefined)
      return { part, source, channels: source.channels, ...partOfRuns(part.runs, planned, source, stem) }
    const motion = motionOf(part, stem.sampleRateHz)
    const fades = isMoved(part) ? edgeFadesOf(source, ...heardFrames(motion, source, stem)) : null
    return {
      part,
      source,
      channels: source.channels,
      fades,
      fadedFrames: [
        ...(fades === null ? [] : fadedStretches(fades, motion, stem.frames)),
        ...withoutFilter(motion, source.fadedFrames),
      ],
      read: partReader(source, motion, fades),
      close: () => {
        source.close()
      },
    }
  } catch (error) {
    source.close()
    throw error
  }
}

const isMoved = (part: StemPart): boolean => part.follow !== null || part.atSamples !== part.recordedAtSamples

const refuseOther = ({ facts }: SourceReader, planned: PlannedSource): void => {
  const same =
    facts.frames === planned.facts.frames &&
    facts.channels === planned.facts.channels &&
    facts.sampleRateHz === planned.facts.sampleRateHz &&
    facts.bitDepth === planned.facts.bitDepth &&
    facts.sampleFormat === planned.facts.sampleFormat
  if (same) return
  throw new SumwellError(
    fault('WAVE_CHANGED', 'the file is not the one that was measured', {
      file: planned.fileShown,
      mend: 'wait until the recording or copying has ended, then run again',
    }),
  )
}

const partReader = (source: SourceReader, motion: PartMotion, fades: EdgeFades | null): OpenPart['read'] => {
  let scratch: Float64Array[] = []
  return (stemFrame, into) => {
    const frames = into[0]?.length ?? 0
    const { start, length } = motion.inputRange(stemFrame, frames)
    if (start >= source.facts.frames || start + length <= 0) return false
    if (motion.reachFrames === 0) {
      source.read(start, into)
      if (fades !== null) applyFades(fades, into, start)
      return true
    }
    if (scratch[0] === undefined || scratch[0].length < length) {
      scratch = Array.from({ length: source.channels }, () => float64(length))
    }
    const input = scratch.map(samples => samples.subarray(0, length))
    source.read(start, input)
    if (fades !== null) applyFades(fades, input, start)
    for (let c = 0; c < input.length; c++) motion.apply(stemFrame, input[c]!, start, into[c]!)
    return true
  }
}
