import { motionOf } from '../../render/part-motion.js'
import { gainFromDb } from '../../terms/units.js'
import type { DeskLeaf } from '../desk/desk.js'
import type { Sound } from '../listen/takes.js'
import { stretchOf } from '../listen/takes.js'
import type { ReportGroup } from '../report.js'
import type { CloseUp, CloseUpTrace, CloseUpView } from './close-up.js'

/** A quiet moment is drawn up to so many times as large as the attack that is shown first. */
const MOST_ENLARGED = 12

/** Shift of a recording at a time of its own, frames. */
const shiftAt = ({ follow, atSamples, recordedAtSamples }: DeskLeaf, seconds: number): number => {
  if (follow === null || follow.length === 0) return atSamples - recordedAtSamples
  const next = follow.findIndex(knot => knot.atSeconds >= seconds)
  if (next <= 0) return follow[next === 0 ? 0 : follow.length - 1]!.shiftSamples
  const [a, b] = [follow[next - 1]!, follow[next]!]
  return (
    a.shiftSamples +
    ((seconds - a.atSeconds) / (b.atSeconds - a.atSeconds)) * (b.shiftSamples - a.shiftSamples)
  )
}

/** Full scale of a view: that of what it shows, or no smaller a part of that of the close-up than a quiet moment is enlarged to. */
export const quietestScale = (closeUp: CloseUp, traces: readonly CloseUpTrace[]): number =>
  traces
    .flatMap(({ before, after }) => [...before, ...after])
    .reduce((top, value) => Math.max(top, Math.abs(value)), closeUp.scale / MOST_ENLARGED)

const leavesOf = (group: ReportGroup): ReadonlyMap<string, DeskLeaf> =>
  new Map(
    (group.desk?.blends ?? []).flatMap(({ strips }) =>
      strips.flatMap(({ leaves }) => leaves.map(leaf => [leaf.source, leaf] as const)),
    ),
  )

/** A stretch of a recording, moved by so many frames; the filter of the stems. */
const moved = (
  { channels, startFrame }: Sound,
  leaf: DeskLeaf,
  shiftSamples: number,
  from: number,
  frames: number,
  sampleRateHz: number,
): Float64Array => {
  const motion = motionOf(
    {
      recordedAtSamples: leaf.recordedAtSamples,
      atSamples: leaf.recordedAtSamples + shiftSamples,
      follow: null,
    },
    sampleRateHz,
  )
  const range = motion.inputRange(from, frames)
  const output = new Float64Array(frames)
  motion.apply(from, stretchOf(channels[0]!, startFrame, range.start, range.length), range.start, output)
  return output
}

/** The stretch of the timeline within which a close-up can be made from the passage of a group, seconds; null where it holds none. */
export const reachOf = (group: ReportGroup, closeUp: CloseUp): { from: number; to: number } | null => {
  if (group.listen === null) return null
  const points = closeUp.traces[0]?.before.length ?? 0
  const { startSeconds, frames } = group.listen
  return {
    from: startSeconds - closeUp.fromMs / 1000,
    to: startSeconds + frames / group.sampleRateHz - (closeUp.fromMs + points * closeUp.stepMs) / 1000,
  }
}

/**
 * The same view as a close-up at any moment of the passage that the page holds: sources whose recordings it has, each with the gain with which
 * it was drawn there. null where it has none of them.
 */
export const closeUpAt = (
  group: ReportGroup,
  closeUp: CloseUp,
  soundOf: (source: string) => Sound | null,
  atSeconds: number,
): CloseUpView | null => {
  const rate = group.sampleRateHz
  const stride = Math.max(1, Math.round((closeUp.stepMs * rate) / 1000))
  const frames = stride * (closeUp.traces[0]?.before.length ?? 0)
  const from = Math.round(atSeconds * rate + (closeUp.fromMs * rate) / 1000)
  const leaves = leavesOf(group)
  const reference = leaves.get(`${group.name}/${group.reference}`)
  const waits = reference === undefined ? 0 : shiftAt(reference, atSeconds)
  const traces = closeUp.traces.flatMap((trace): readonly CloseUpTrace[] => {
    const leaf = leaves.get(`${group.name}/${trace.source}`)
    const sound = leaf === undefined ? null : soundOf(leaf.source)
    if (leaf === undefined || sound === null) return []
    const gain = gainFromDb(trace.drawnGainDb)
    const shift = shiftAt(leaf, atSeconds - leaf.recordedAtSamples / rate)
    const sign = trace.polarity === 'inverted' ? -1 : 1
    const thin = (samples: Float64Array, factor: number): number[] =>
      Array.from({ length: frames / stride }, (_, i) => samples[i * stride]! * factor)
    return [
      {
        ...trace,
        shiftMs: (shift * 1000) / rate,
        before: thin(moved(sound, leaf, 0, from, frames, rate), gain),
        after: thin(moved(sound, leaf, shift - waits, from, frames, rate), sign * gain),
      },
    ]
  })
  if (traces.length === 0) return null
  return {
    sampleRateHz: rate,
    attackSeconds: atSeconds,
    fromMs: closeUp.fromMs,
    stepMs: closeUp.stepMs,
    scale: quietestScale(closeUp, traces),
    traces,
  }
}
