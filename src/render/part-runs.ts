import type { PartRun, PlannedSource, PlannedStem, StemPart } from '../decide/plan.js'
import { applyWindow, fadedStretches as fadedIn } from '../signal/cross-fade.js'
import { float64 } from '../signal/kernel/arena.js'
import { type LaidReader, openWindows } from '../wave/laid-source.js'
import type { SourceReader } from '../wave/source-reader.js'
import { applyFades, type EdgeFades, edgeFadesOf } from './edge-fades.js'
import { fadedStretches, heardFrames, withoutFilter } from './part-edges.js'
import { motionOf, type PartMotion } from './part-motion.js'

interface OpenRun {
  readonly run: PartRun
  readonly reader: LaidReader
  readonly motion: PartMotion
}

/** What a part made of runs adds to its source. */
export interface RunsOfPart {
  readonly fades: EdgeFades | null
  readonly fadedFrames: readonly { readonly start: number; readonly end: number }[]
  read(stemFrame: number, into: readonly Float64Array[]): boolean
  close(): void
}

/**
 * Opens a part whose stretches are moved each for itself: every run is carried by a motion of its own, weighted by its window, and added
 * to the others. Where one run has full weight and moves by whole frames the samples are untouched.
 * @param source The whole recording as recorded; closed with the part.
 * @throws SumwellError WAVE_…
 */
export const openRuns = (
  part: StemPart,
  runs: readonly PartRun[],
  { selection }: PlannedSource,
  source: SourceReader,
  stem: PlannedStem,
): RunsOfPart => {
  const open: OpenRun[] = []
  const close = (): void => {
    source.close()
    for (const { reader } of open) reader.close()
  }
  try {
    for (const run of runs) {
      const motion = motionOf({ ...part, follow: null, atSamples: run.atSamples }, stem.sampleRateHz)
      open.push({ run, reader: openWindows(run.windows, selection), motion })
    }
  } catch (error) {
    close()
    throw error
  }
  const first = open[0]!
  const last = open.at(-1)!
  const [start] = heardFrames(first.motion, source, stem)
  const [, end] = heardFrames(last.motion, source, stem)
  const fades = edgeFadesOf(source, start, Math.max(start, end))
  return {
    fades,
    fadedFrames: [
      ...open.flatMap(({ run }) => fadedIn(run)),
      ...open.flatMap(({ run, motion }) => withoutFilter(motion, run.windows.flatMap(fadedIn))),
      ...fadedStretches({ ...fades, fadesOut: false }, first.motion, stem.frames),
      ...fadedStretches({ ...fades, fadesIn: false }, last.motion, stem.frames),
    ],
    read: runReader(withRinging(open), fades, source.channels),
    close,
  }
}

/** A file's own start and end are not cut: a filter rings a little beyond them. */
const withRinging = (open: readonly OpenRun[]): readonly OpenRun[] =>
  open.map(({ run, motion, reader }, i) => {
    const before = i === 0 && run.fadeInFrames === 0 ? motion.reachFrames : 0
    const after = i === open.length - 1 && run.fadeOutFrames === 0 ? motion.reachFrames : 0
    return {
      run: { ...run, startFrame: run.startFrame - before, endFrame: run.endFrame + after },
      motion,
      reader,
    }
  })

const runReader = (runs: readonly OpenRun[], fades: EdgeFades, channels: number): RunsOfPart['read'] => {
  const scratch = { input: [] as Float64Array[], output: [] as Float64Array[] }
  const room = (which: 'input' | 'output', frames: number): readonly Float64Array[] => {
    if ((scratch[which][0]?.length ?? 0) < frames) {
      scratch[which] = Array.from({ length: channels }, () => float64(frames))
    }
    return scratch[which].map(samples => samples.subarray(0, frames))
  }
  return (stemFrame, into) => {
    const frames = into[0]?.length ?? 0
    const heard = runs.filter(({ run }) => run.startFrame < stemFrame + frames && run.endFrame > stemFrame)
    if (heard.length === 0) return false
    for (const samples of into) samples.fill(0)
    for (const { run, reader, motion } of heard) {
      const from = Math.max(stemFrame, run.startFrame)
      const count = Math.min(stemFrame + frames, run.endFrame) - from
      const { start, length } = motion.inputRange(from, count)
      const input = room('input', length)
      const output = room('output', count)
      reader.read(start, input)
      applyFades(fades, input, start)
      for (let c = 0; c < channels; c++) motion.apply(from, input[c]!, start, output[c]!)
      applyWindow(run, output, from)
      for (let c = 0; c < channels; c++) addTo(into[c]!, output[c]!, from - stemFrame, run.sign)
    }
    return true
  }
}

const addTo = (total: Float64Array, samples: Float64Array, at: number, sign: 1 | -1): void => {
  for (let i = 0; i < samples.length; i++) total[at + i] = total[at + i]! + sign * samples[i]!
}
