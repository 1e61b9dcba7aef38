import type { FileSource, SessionGroup } from '../../recipe/session.js'
import { selectedChannels } from '../../recipe/session.js'
import * as portable from '../../terms/portable.js'
import type { Pooled } from '../../terms/task.js'
import { arrivalSpread } from '../pair/arrival-spread.js'
import type { SessionTrack } from '../session/session-source.js'
import type { measureTasks } from '../tasks.js'
import type { SlatePlace } from './find-slates.js'
import { type ResponseLag, responseLag } from './response-lag.js'
import { likeness } from './response-spectrum.js'
import type { SlateResponse } from './slate-responses.js'
import type { SlateFile } from './slate-tasks.js'

export interface SlateQuestion {
  readonly group: SessionGroup
  readonly tracks: readonly SessionTrack[]
  /** Index into `tracks`. */
  readonly reference: number
  /** Per track: start offset that was taken off, frames. */
  readonly offsets: readonly number[]
}

/** What the slate tells of one source: its lag against the reference after the start offset, or why there is none. */
export type SlateLag =
  | {
      readonly kind: 'found'
      readonly lagSamples: number
      readonly uncertaintySamples: number
      readonly spreadSamples: number
      readonly sign: 1 | -1
      readonly score: number
      readonly groupDelay: readonly { readonly middleHz: number; readonly excessSamples: number }[]
    }
  | { readonly kind: SlateTrouble }

export type SlateTrouble = 'none' | 'none in reference' | 'apart' | 'unclear'

/** Both sweeps must give the same response. */
const LEAST_LIKENESS = 0.6
const LEAST_SCORE = 0.5
const HIGHEST_RIVAL = 0.8
/** Places are found to a few milliseconds only. */
const PLACE_SECONDS = 0.02

/** Per track: null where the recipe names no slate for it, and for the reference. */
export const slateLags = async (
  question: SlateQuestion,
  tasks: Pooled<typeof measureTasks>,
): Promise<(SlateLag | null)[]> => {
  const { group, tracks, reference } = question
  const asked = tracks.map(
    ({ file }, i) =>
      i !== reference && (group.align.slate || file.slate !== null || tracks[reference]!.file.slate !== null),
  )
  if (!asked.includes(true)) return tracks.map(() => null)
  const files = tracks.map(slateFileOf)
  const places = await Promise.all(
    files.map((file, i) =>
      (asked[i]! || i === reference) && file.channels.length > 0
        ? tasks.findSlatesIn(file)
        : Promise.resolve([]),
    ),
  )
  return Promise.all(
    tracks.map(async (_, i): Promise<SlateLag | null> => {
      if (!asked[i]!) return null
      if (places[reference]!.length === 0) return { kind: 'none in reference' }
      if (places[i]!.length === 0) return { kind: 'none' }
      const offset = offsetOf(question, i)
      const reach = (group.align.searchSeconds + PLACE_SECONDS) * group.sampleRateHz
      const pair = samePlaying(places[reference]!, places[i]!, offset, reach)
      if (pair === null) return { kind: 'apart' }
      const [ofReference, ofSource] = await Promise.all([
        tasks.respondToSlate({ ...files[reference]!, place: pair[0].frame }),
        tasks.respondToSlate({ ...files[i]!, place: pair[1].frame }),
      ])
      return joined(ofReference, ofSource, offset)
    }),
  )
}

/** The file in which a path's slate stands: one of its own, else the recording itself. */
export const slateFileOf = ({ file, scan }: SessionTrack): SlateFile => {
  const own = file.slate
  const every = (count: number): number[] => Array.from({ length: count }, (_, c) => c)
  return own === null
    ? {
        file: file.file,
        selection: file.selection,
        channels: scan.silent ? [] : every(scan.channels).filter(c => !scan.deadChannels.includes(c)),
      }
    : {
        file: own.file,
        selection: own.selection,
        channels: every(selectedChannels(own.selection, own.facts.channels)),
      }
}

// Between two recordings what was taken off before measuring; else what the time stamps of the slates' files say.
const offsetOf = ({ tracks, reference, offsets }: SlateQuestion, i: number): number => {
  const [own, other] = [tracks[i]!.file, tracks[reference]!.file]
  if (own.slate === null && other.slate === null) return offsets[i]!
  const stamp = (file: FileSource): number | null => (file.slate ?? file).facts.stampSamples
  const [late, early] = [stamp(own), stamp(other)]
  return late === null || early === null ? 0 : late - early
}

/** Of all slates in both files the clearest two that can be one and the same playing. */
const samePlaying = (
  reference: readonly SlatePlace[],
  source: readonly SlatePlace[],
  offset: number,
  reach: number,
): readonly [SlatePlace, SlatePlace] | null => {
  let best: readonly [SlatePlace, SlatePlace] | null = null
  let most = 0
  for (const a of reference)
    for (const b of source) {
      if (Math.abs(b.frame + offset - a.frame) > reach || a.score + b.score <= most) continue
      most = a.score + b.score
      best = [a, b]
    }
  return best
}

// As for what is played: the mean over the channels of a linked set, half of what they differ by in the spread.
const joined = (
  reference: readonly SlateResponse[],
  source: readonly SlateResponse[],
  offset: number,
): SlateLag => {
  if ([...reference, ...source].some(response => likeness(response) < LEAST_LIKENESS))
    return { kind: 'unclear' }
  const lags: ResponseLag[] = []
  for (const own of source)
    for (const other of reference) {
      const lag = responseLag(other, own)
      if (lag === null || lag.score < LEAST_SCORE || lag.rival > HIGHEST_RIVAL) return { kind: 'unclear' }
      lags.push(lag)
    }
  const sign = lags[0]!.sign
  if (lags.some(lag => lag.sign !== sign)) return { kind: 'unclear' }
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length
  const all = lags.map(lag => lag.lagSamples)
  const best = lags.reduce((a, b) => (b.score > a.score ? b : a))
  return {
    kind: 'found',
    lagSamples: mean(all) + offset,
    uncertaintySamples: Math.sqrt(mean(lags.map(lag => lag.uncertaintySamples * lag.uncertaintySamples))),
    spreadSamples: portable.hypot(
      mean(lags.map(lag => arrivalSpread(lag.octaves))),
      (Math.max(...all) - Math.min(...all)) / 2,
    ),
    sign,
    score: mean(lags.map(lag => lag.score)),
    groupDelay: best.octaves.map(({ middleHz, excessSamples }) => ({ middleHz, excessSamples })),
  }
}
