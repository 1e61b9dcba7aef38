import type { PartRun } from '../decide/plan.js'
import type { ChannelSelection } from '../recipe/session.js'
import { applyWindow } from '../signal/cross-fade.js'
import { float64 } from '../signal/kernel/arena.js'
import { openPieces, type WindowReader, windowReader } from '../wave/laid-source.js'
import { applyFades, type EdgeFades } from './edge-fades.js'
import { motionOf, type PartMotion } from './part-motion.js'

/** A stretch that is moved as a whole, open for reading. */
export interface OpenRun {
  readonly run: PartRun
  /** Reads what sounds in it, on the source's own timeline. */
  readonly reader: WindowReader
  readonly motion: PartMotion
}

/** The runs of one part, open for reading at the frames of a stem. Close it when done. */
export interface RunReader {
  readonly open: readonly OpenRun[]
  /**
   * The runs moved and weighted, with their own signs and without the gain of the part, one array per channel. False where none is heard:
   * then `into` is not touched. Cutting the stem into other stretches changes no bit.
   * @param fades At the edges of the recording, in its own frames; null = none.
   */
  read(stemFrame: number, into: readonly Float64Array[], fades: EdgeFades | null): boolean
  close(): void
}

/** @throws SumwellError WAVE_… */
export const openRuns = (
  runs: readonly PartRun[],
  selection: ChannelSelection,
  sampleRateHz: number,
): RunReader => {
  const pieces = openPieces(
    runs.flatMap(({ windows }) => windows),
    selection,
  )
  const open = runs.map(run => ({
    run,
    reader: windowReader(run.windows, pieces),
    motion: motionOf({ atSamples: run.atSamples, recordedAtSamples: 0, follow: null }, sampleRateHz),
  }))
  return {
    open,
    read: readerOf(withRinging(open)),
    close: () => {
      pieces.close()
    },
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

const readerOf = (runs: readonly OpenRun[]): RunReader['read'] => {
  const inputs = new Scratch()
  const outputs = new Scratch()
  return (stemFrame, into, fades) => {
    const frames = into[0]?.length ?? 0
    const heard = runs.filter(({ run }) => run.startFrame < stemFrame + frames && run.endFrame > stemFrame)
    if (heard.length === 0) return false
    for (const samples of into) samples.fill(0)
    for (const { run, reader, motion } of heard) {
      const from = Math.max(stemFrame, run.startFrame)
      const count = Math.min(stemFrame + frames, run.endFrame) - from
      const { start, length } = motion.inputRange(from, count)
      const input = inputs.of(into.length, length)
      const output = outputs.of(into.length, count)
      reader(start, input)
      if (fades !== null) applyFades(fades, input, start)
      input.forEach((samples, c) => {
        motion.apply(from, samples, start, output[c]!)
      })
      applyWindow(run, output, from)
      output.forEach((samples, c) => {
        addTo(into[c]!, samples, from - stemFrame, run.sign)
      })
    }
    return true
  }
}

/** Buffers that grow with what is asked for. */
class Scratch {
  #held: readonly Float64Array[] = []

  of(channels: number, frames: number): readonly Float64Array[] {
    if (this.#held.length < channels || (this.#held[0]?.length ?? 0) < frames) {
      this.#held = Array.from({ length: channels }, () => float64(frames))
    }
    return this.#held.slice(0, channels).map(samples => samples.subarray(0, frames))
  }
}

const addTo = (total: Float64Array, samples: Float64Array, at: number, sign: 1 | -1): void => {
  for (let i = 0; i < samples.length; i++) total[at + i] = total[at + i]! + sign * samples[i]!
}
