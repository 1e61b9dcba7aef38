import { createHash } from 'node:crypto'
import type { Plan } from '../../decide/plan.js'
import type { SongMeasurement } from '../../measure/measurement.js'
import type { Session } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { CloseUpInput } from '../close-up/close-up-task.js'
import { closeUpInput } from '../close-up/close-ups-of.js'
import type { SoundBytes } from '../listen/listen.js'
import { MOST_COARSE_TEXT_BYTES, textBytes } from '../listen/room.js'
import type { reportTasks } from '../tasks.js'
import type { Waveform } from './waveform.js'
import { type CoarseSound, KEPT_BAND, PEAKS_A_SECOND } from './waveform-task.js'

/** Values a second, the finest first; fewer than the last show no lag of a millisecond. */
const RATES_HZ = [8000, 4000, 2000, 1000]
/** What a value of music that never rests takes, bits; most take less. */
const BITS_A_VALUE = 6.5
/** Parts of the overview. */
const PARTS = 480

export interface Waveforms {
  /** By group. */
  readonly waveforms: ReadonlyMap<string, Waveform>
  readonly bytes: SoundBytes
}

const NONE: Waveforms = { waveforms: new Map(), bytes: new Map() }

interface Ask {
  readonly input: CloseUpInput
  /** Length of the timeline, frames. */
  readonly frames: number
  /** Length of all recordings together, frames. */
  readonly recordedFrames: number
}

const asksOf = (session: Session, measurement: SongMeasurement, plan: Plan): readonly Ask[] =>
  session.groups.flatMap(group => {
    const input = closeUpInput(session, measurement, plan, group)
    if (input === null) return []
    const lengths = input.traces.map(({ file, recordedAtSamples }) => {
      const frames = plan.sources.find(source => source.file === file)?.facts.frames ?? 0
      return { frames, end: frames + recordedAtSamples }
    })
    return [
      {
        input,
        frames: Math.max(...lengths.map(({ end }) => end)),
        recordedFrames: lengths.reduce((sum, { frames }) => sum + frames, 0),
      },
    ]
  })

/** How many frames one value stands for at about so many values a second. */
const everyFor = (sampleRateHz: number, rateHz: number): number =>
  Math.max(2, Math.round(sampleRateHz / rateHz))

const expectedBytes = (asks: readonly Ask[], rateHz: number): number =>
  asks.reduce(
    (sum, { recordedFrames, input }) =>
      sum + (recordedFrames / everyFor(input.sampleRateHz, rateHz)) * (BITS_A_VALUE / 8),
    0,
  )

/**
 * All groups of a song from end to end, at as many values a second as fit the page; none where the song is too long for the fewest that are of
 * use.
 */
export const waveformsOf = async (
  session: Session,
  measurement: SongMeasurement,
  plan: Plan,
  tasks: Pooled<typeof reportTasks>,
): Promise<Waveforms> => {
  const asks = asksOf(session, measurement, plan)
  const fitting = RATES_HZ.filter(rate => textBytes(expectedBytes(asks, rate)) <= MOST_COARSE_TEXT_BYTES)
  for (const rate of fitting) {
    const found = await Promise.all(
      asks.map(({ input }) =>
        Promise.all(
          input.traces.map(({ file, selection }) =>
            tasks.waveform({ file, selection, everyFrames: everyFor(input.sampleRateHz, rate) }),
          ),
        ),
      ),
    )
    const room = found.flat().reduce((sum, { bytes }) => sum + textBytes(bytes.length), 0)
    if (room <= MOST_COARSE_TEXT_BYTES) return waveformsWith(asks, found, rate)
  }
  return NONE
}

const waveformsWith = (
  asks: readonly Ask[],
  found: readonly (readonly CoarseSound[])[],
  rateHz: number,
): Waveforms => {
  const waveforms = new Map<string, Waveform>()
  const held = new Map<string, Uint8Array>()
  asks.forEach(({ input: { group, traces, sampleRateHz }, frames }, a) => {
    const everyFrames = everyFor(sampleRateHz, rateHz)
    const sources = traces.map(({ source, recordedAtSamples }, s) => {
      const { bytes, values, step } = found[a]![s]!
      const id = `waveform-${a}-${s}`
      held.set(id, bytes)
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      return { id, source, recordedAtSamples: Math.round(recordedAtSamples), values, step, sha256 }
    })
    const seconds = frames / sampleRateHz
    waveforms.set(group, {
      everyFrames,
      bandHz: Math.floor((KEPT_BAND * sampleRateHz) / everyFrames / 2),
      sources,
      overview: overviewOf(found[a]![0]!.peaks, sources[0]!.recordedAtSamples / sampleRateHz, seconds),
      seconds,
    })
  })
  return { waveforms, bytes: held }
}

/** Peaks each tenth of a second as so many parts of the timeline, per thousand of the largest. */
const overviewOf = (peaks: readonly number[], startSeconds: number, seconds: number): readonly number[] => {
  const most = Math.max(...peaks, 0)
  const at = (part: number): number => Math.round(((part * seconds) / PARTS - startSeconds) * PEAKS_A_SECOND)
  return Array.from({ length: PARTS }, (_, part) => {
    const first = Math.max(0, at(part))
    const own = peaks.slice(first, Math.max(first + 1, at(part + 1)))
    return most === 0 ? 0 : Math.round((1000 * Math.max(0, ...own)) / most)
  })
}
