import type { PartRun, PlannedSource, PlannedStem } from '../decide/plan.js'
import { fadedStretches as fadedIn } from '../signal/cross-fade.js'
import type { SourceReader } from '../wave/source-reader.js'
import { type EdgeFades, edgeFadesOf } from './edge-fades.js'
import { fadedStretches, heardFrames, withoutFilter } from './part-edges.js'
import { openRuns } from './run-reader.js'

/** What a part made of runs adds to its source. */
export interface RunsOfPart {
  readonly fades: EdgeFades
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
export const partOfRuns = (
  runs: readonly PartRun[],
  { selection }: PlannedSource,
  source: SourceReader,
  stem: PlannedStem,
): RunsOfPart => {
  const opened = openRuns(runs, selection, stem.sampleRateHz)
  const { open } = opened
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
    read: (stemFrame, into) => opened.read(stemFrame, into, fades),
    close: () => {
      source.close()
      opened.close()
    },
  }
}
