import type { PlannedSource, PlannedStem } from '../decide/plan.js'
import type { HeadPeak, StemPeaks } from '../decide/survey.js'
import { PeakMeter } from '../signal/level.js'
import { TruePeakMeter } from '../signal/true-peak.js'
import { interrupted } from '../terms/interrupted.js'
import type { TaskContext } from '../terms/task.js'
import { dbFromGain } from '../terms/units.js'
import { openSource } from '../wave/source-reader.js'
import { blockFrames, forEachBlock } from './blocks.js'
import { openMix } from './stem-mix.js'

/** Points between two frames that a ceiling is judged by: at most 0.12 dB low for 20 kHz at 48 kHz. */
const SURVEY_FACTOR = 8

export interface StemInput {
  readonly stem: PlannedStem
  /** The sources that its parts name. */
  readonly sources: readonly PlannedSource[]
}

/** Peaks of a stem before rounding, by making it without writing it. */
export const surveyStem = ({ stem, sources }: StemInput, context: TaskContext): StemPeaks => {
  const mix = openMix(stem, sources)
  try {
    const level = new PeakMeter()
    const truePeak = new TruePeakMeter(stem.sampleRateHz, stem.channels, SURVEY_FACTOR)
    forEachBlock([stem], context, (_, block, frame) => {
      mix.read(frame, block)
      level.push(block)
      truePeak.push(block)
    })
    mix.refuseChanged()
    return { samplePeak: level.peak(), truePeak: truePeak.peak() }
  } finally {
    mix.close()
  }
}

/** What is lost where a source begins before the stems do: its first `frames` frames. */
export interface HeadInput {
  readonly source: PlannedSource
  readonly frames: number
}

/** Sample peak of the head of a source, in the recording. */
export const surveyHead = ({ source, frames }: HeadInput, context: TaskContext): HeadPeak => {
  const reader = openSource(source.file, source.selection)
  try {
    const level = new PeakMeter()
    const length = blockFrames(reader.channels)
    const block = Array.from({ length: reader.channels }, () => new Float64Array(length))
    for (let frame = 0; frame < frames; frame += length) {
      if (context.aborted) throw interrupted()
      reader.read(frame, block)
      level.push(block, Math.min(length, frames - frame))
    }
    const peak = level.peak()
    return { frames, peakDbfs: peak === 0 ? null : dbFromGain(peak) }
  } finally {
    reader.close()
  }
}
