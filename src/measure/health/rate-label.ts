import type { Pooled } from '../../terms/task.js'
import type { GroupTask } from '../group/group-input.js'
import { judgeSource } from '../group/judged-source.js'
import { measureTraces } from '../group/measure-traces.js'
import { solveLags } from '../group/solve.js'
import { levelAtShare } from '../scan/activity.js'
import type { SourceScan } from '../scan/source-scan.js'
import type { SessionTrack } from '../session/session-source.js'
import type { measureTasks } from '../tasks.js'
import { RATE_WINDOW } from './compare-rates.js'

/**
 * Frames of a wrongly labelled file to one frame of the reference: 44.1 against 48 kHz (and their doubles), half and double rate,
 * the 0.1 % between film and video, 24 against 25 pictures a second. First: no fault.
 */
const FACTORS = [1, 147 / 160, 160 / 147, 1 / 2, 2, 1000 / 1001, 1001 / 1000, 24 / 25, 25 / 24]
const LEAST_SECONDS = 4
/** So much of the take is measured again at the other rate. */
const PASSAGE_SECONDS = 12
const LOUD_DB = 20
const STRETCHES = 3
/** A factor is measured where its best lag stands out this clearly, and more so than with no change at all. */
const STANDS_OUT = 7

export interface RateQuestion {
  readonly sampleRateHz: number
  readonly searchSeconds: number
  readonly reference: SessionTrack
  readonly source: SessionTrack
  /** Start of the source's file against the reference's that was taken off, frames. */
  readonly startFrame: number
}

/**
 * Whether a source that has nothing in common with the reference lines up once it is played at another rate: the factor with
 * which it does, with verdict `sure`, or null. A source whose header tells the wrong rate runs away from the others by so much
 * (81 ms a second for 44.1 kHz called 48 kHz) that at no lag anything is shared.
 */
export const rateFactor = async (
  question: RateQuestion,
  tasks: Pooled<typeof measureTasks>,
): Promise<number | null> => {
  const { reference, source, sampleRateHz, searchSeconds, startFrame } = question
  const seconds = Math.min(reference.scan.frames, source.scan.frames) / sampleRateHz
  if (seconds < LEAST_SECONDS || reference.scan.silent || source.scan.silent) return null
  const passage = liveliest(reference.scan)
  const compared = ({ file, scan }: SessionTrack) => ({
    file: file.file,
    selection: file.selection,
    channel: firstAlive(scan),
  })
  const heights = await tasks.compareRates({
    reference: compared(reference),
    source: compared(source),
    starts: startsIn(passage, reference.scan.frames, sampleRateHz),
    startFrame,
    searchSamples: searchSeconds * sampleRateHz,
    factors: FACTORS,
  })
  const best = heights.indexOf(Math.max(...heights))
  const factor = FACTORS[best]!
  return best === 0 || heights[best]! < STANDS_OUT || !(await fits(question, factor, passage, tasks))
    ? null
    : factor
}

/** Measured at the other rate, lag and polarity are sure. */
const fits = async (
  { reference, source, sampleRateHz, searchSeconds, startFrame }: RateQuestion,
  factor: number,
  passage: GroupTask['passage'],
  tasks: Pooled<typeof measureTasks>,
): Promise<boolean> => {
  const files = [reference, source].map(({ file }) => ({ file: file.file, selection: file.selection }))
  const factors = [1, factor]
  const members = [reference, source].map(({ source: { name }, scan: { channels, frames } }, i) => ({
    name,
    channels,
    frames: Math.floor(frames / factors[i]!),
    startFrame: i === 0 ? 0 : startFrame,
  }))
  const measured = await measureTraces(
    { sampleRateHz, searchSeconds, reference: 0, passage, members },
    (plan, segment) => tasks.sumStretched({ files, factors, plan, segment }),
  )
  const { lagVerdict, polarityVerdict } = judgeSource(measured, solveLags(measured), 1)
  return lagVerdict === 'sure' && polarityVerdict === 'sure'
}

const firstAlive = ({ channels, deadChannels }: SourceScan): number =>
  Math.max(
    0,
    Array.from({ length: channels }, (_, c) => c).findIndex(c => !deadChannels.includes(c)),
  )

/** Spread evenly over the passage, or over all. */
const startsIn = (passage: GroupTask['passage'], frames: number, sampleRateHz: number): number[] => {
  const [stretch] = passage ?? []
  const from = Math.floor((stretch?.startSeconds ?? 0) * sampleRateHz)
  const to = stretch === undefined ? frames : Math.floor(stretch.endSeconds * sampleRateHz)
  const room = Math.max(0, to - from - RATE_WINDOW)
  return Array.from({ length: STRETCHES }, (_, i) => from + Math.floor((room * i) / (STRETCHES - 1)))
}

// The stretch in which most is played.
const liveliest = ({ activity, frames, sampleRateHz }: SourceScan): GroupTask['passage'] => {
  const { levelsDbfs, stepFrames } = activity
  const steps = Math.ceil((PASSAGE_SECONDS * sampleRateHz) / stepFrames)
  if (frames <= PASSAGE_SECONDS * sampleRateHz) return null
  const limit = (levelAtShare(activity, 0.99) ?? 0) - LOUD_DB
  const loud = (step: number): number => (levelsDbfs[step]! >= limit ? 1 : 0)
  let count = 0
  let most = -1
  let best = 0
  for (let end = 0; end < levelsDbfs.length; end++) {
    count += loud(end) - (end >= steps ? loud(end - steps) : 0)
    if (count > most) {
      most = count
      best = Math.max(0, end + 1 - steps)
    }
  }
  const startSeconds = (best * stepFrames) / sampleRateHz
  return [{ startSeconds, endSeconds: startSeconds + PASSAGE_SECONDS }]
}
