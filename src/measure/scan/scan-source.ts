import { fastLoudness } from '../../signal/fast-loudness.js'
import { float64 } from '../../signal/kernel/arena.js'
import { TruePeakMeter } from '../../signal/true-peak.js'
import { interrupted } from '../../terms/interrupted.js'
import type { TaskContext } from '../../terms/task.js'
import { dbFromGain } from '../../terms/units.js'
import { sha256OfSource } from '../../wave/laid-hash.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import { ActivityMeter } from './activity.js'
import { ClipDetector } from './clipping.js'
import { CopyDetector } from './copied-channels.js'
import { deadChannels } from './dead-channels.js'
import { DROPOUT_PAST, DropoutDetector } from './dropouts.js'
import { findHum } from './find-hum.js'
import { healthWarnings } from './health-warnings.js'
import { SILENCE_DBFS, soundRange } from './sound-range.js'
import type { ScanInput, SourceScan } from './source-scan.js'

// Frames of all channels together that are looked at in one go: 1 MB.
const BLOCK_NUMBERS = 1 << 17
const LISTED = 50
// Channels of a few steps' noise are alike by chance.
const COPY_FROM_STEPS = 64

/**
 * Health of one source: one reading of its samples, one of its bytes for the checksum, and a look at its gaps. Memory does not
 * grow with the length (20 numbers a second excepted).
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const scanSource = (input: ScanInput, context: TaskContext): SourceScan => {
  const reader = openSource(input.file, input.selection)
  try {
    const findings = readThrough(reader, context)
    const sha256 = input.sha256 ?? sha256OfSource(input.file, input.selection, context)
    return { sha256, ...findings, warnings: healthWarnings(findings) }
  } finally {
    reader.close()
  }
}

const readThrough = (reader: SourceReader, context: TaskContext): Omit<SourceScan, 'sha256' | 'warnings'> => {
  const { channels } = reader
  const { sampleRateHz, frames } = reader.facts
  const every = Array.from({ length: channels }, (_, c) => c)
  const loudness = fastLoudness(sampleRateHz, channels)
  const truePeak = new TruePeakMeter(sampleRateHz, channels)
  const activityMeter = new ActivityMeter(sampleRateHz, channels)
  const { level } = activityMeter
  const step = stepSize(reader)
  const clipping = every.map(c => new ClipDetector(c, step))
  const copying = new CopyDetector(channels, step)
  const dropping = every.map(c => new DropoutDetector(c, step))
  forEachBlock(reader, context, (work, block, count, firstFrame) => {
    loudness.push(block, count)
    truePeak.push(block, count)
    activityMeter.push(block, count)
    copying.push(block, count)
    for (const c of every) {
      clipping[c]!.push(block[c]!, 0, count)
      dropping[c]!.push(work[c]!, count, firstFrame)
    }
  })
  const activity = activityMeter.finish()
  const clips = clipping.map((detector, c) => detector.finish(level.highest(c), level.lowest(c)))
  const meanSquare = every.reduce((sum, c) => sum + level.rms(c) * level.rms(c), 0) / channels
  const offsets = every.map(c => commonOffset(level.dc(c), activityMeter.medianMean(c)))
  return {
    channels,
    frames,
    sampleRateHz,
    loudnessLufs: loudness.integratedLufs(),
    rmsDbfs: decibelsOrNull(Math.sqrt(meanSquare)),
    samplePeakDbfs: decibelsOrNull(Math.max(...every.map(c => level.samplePeak(c)))),
    truePeakDbtp: decibelsOrNull(truePeak.peak()),
    dcOffset: offsets.reduce((largest, dc) => (Math.abs(dc) > Math.abs(largest) ? dc : largest), 0),
    clippedRuns: clips.reduce((sum, channel) => sum + channel.runs, 0),
    clips: firstOf(clips.flatMap(channel => channel.first)),
    droppedStretches: dropping.reduce((sum, detector) => sum + detector.count, 0),
    dropouts: firstOf(dropping.flatMap(detector => detector.first)),
    deadChannels: deadChannels(every.map(c => level.rms(c))),
    copiedChannels: copying.finish(c => level.samplePeak(c) > COPY_FROM_STEPS * step),
    silent: activity.levelsDbfs.every(stepLevel => stepLevel < SILENCE_DBFS),
    sound: soundRange(activity, frames, sampleRateHz),
    hum: findHum(reader, activity),
    activity,
  }
}

/** Reads from start to end. `work` holds DROPOUT_PAST frames of what came before, then the block; `block` is the block alone. */
const forEachBlock = (
  reader: SourceReader,
  context: TaskContext,
  look: (
    work: readonly Float64Array[],
    block: readonly Float64Array[],
    count: number,
    firstFrame: number,
  ) => void,
): void => {
  const { frames, sampleRateHz } = reader.facts
  const length = Math.max(DROPOUT_PAST, Math.floor(BLOCK_NUMBERS / reader.channels))
  const work = Array.from({ length: reader.channels }, () => float64(DROPOUT_PAST + length))
  const block = work.map(samples => samples.subarray(DROPOUT_PAST))
  for (let firstFrame = 0; firstFrame < frames; firstFrame += length) {
    if (context.aborted) throw interrupted()
    for (const samples of work) samples.copyWithin(0, length)
    reader.read(firstFrame, block)
    const count = Math.min(length, frames - firstFrame)
    look(work, block, count, firstFrame)
    context.advance(count / sampleRateHz)
  }
}

/**
 * DC is there all the time, so both kinds of mean show it: the one over everything, and the middle one of the means of 50 ms. A
 * single thump pulls only the first off zero, a held low note only the second. What they have in common is taken.
 */
const commonOffset = (mean: number, medianMean: number): number => {
  if (mean * medianMean <= 0) return 0
  return Math.abs(mean) < Math.abs(medianMean) ? mean : medianMean
}

const decibelsOrNull = (gain: number): number | null => (gain > 0 ? dbFromGain(gain) : null)

/** Distance of neighbouring values, full scale 1: that of the word, of a 24-bit word for longer ones and for floats. */
const stepSize = (reader: SourceReader): number => {
  const { bitDepth, sampleFormat } = reader.facts
  const bits = sampleFormat === 'float' ? 24 : Math.min(24, bitDepth)
  return 1 / (1 << (bits - 1))
}

const firstOf = <Found extends { readonly startFrame: number }>(found: Found[]): readonly Found[] =>
  found.sort((a, b) => a.startFrame - b.startFrame).slice(0, LISTED)
