import type { SessionGroup } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { Warning } from '../../terms/warning.js'
import { adviceFor } from '../advice/advice.js'
import { type JudgedSource, NO_LAG } from '../group/judged-source.js'
import type { MeasuredTraces } from '../group/measured-traces.js'
import type { Advice, SlateMeasurement } from '../measurement.js'
import type { SessionTrack } from '../session/session-source.js'
import { slateFindings } from '../slate/slate-findings.js'
import type { measureTasks } from '../tasks.js'
import { silentEnds } from './falls-silent.js'
import { rateFactor } from './rate-label.js'
import { rateSentences } from './rate-words.js'
import { swappedPairs } from './swapped-pair.js'

/** A group as it was measured. */
export interface MeasuredTracks {
  readonly group: SessionGroup
  readonly temperatureCelsius: number
  readonly tracks: readonly SessionTrack[]
  /** Index into `tracks`. */
  readonly reference: number
  /** Per track: start offset that was taken off, frames. */
  readonly offsets: readonly number[]
  /** Per track; null for the reference. */
  readonly judged: readonly (JudgedSource | null)[]
  /** Null with fewer than two tracks. */
  readonly measured: MeasuredTraces | null
}

export interface FurtherFindings {
  readonly judged: readonly (JudgedSource | null)[]
  readonly advice: readonly (Advice | null)[]
  readonly slates: readonly (SlateMeasurement | null)[]
  readonly warnings: readonly Warning[]
}

/**
 * What is looked for once the lags are known: tracks that fall silent, pairs the wrong way round, what a slate settles, why a source has nothing in
 * common, and what could be better at the next take.
 */
export const furtherFindings = async (
  found: MeasuredTracks,
  tasks: Pooled<typeof measureTasks>,
): Promise<FurtherFindings> => {
  const { group, tracks, reference, measured } = found
  if (measured === null) return { judged: found.judged, advice: [], slates: [], warnings: [] }
  const slate = await slateFindings(found, tasks)
  const warnings: Warning[] = [
    ...silentEnds(group.name, tracks, reference, found.offsets, group.sampleRateHz),
    ...swappedPairs(group.name, tracks, measured),
    ...slate.warnings,
  ]
  const judged: (JudgedSource | null)[] = []
  const advice: (Advice | null)[] = []
  for (const [i, source] of slate.judged.entries()) {
    const factor =
      source === null || source.lagVerdict === 'sure'
        ? null
        : await rateFactor(
            {
              sampleRateHz: group.sampleRateHz,
              searchSeconds: group.align.searchSeconds,
              reference: tracks[reference]!,
              source: tracks[i]!,
              startFrame: found.offsets[i]!,
            },
            tasks,
          )
    if (source === null || factor === null) {
      judged.push(source)
      advice.push(
        adviceFor({
          track: tracks[i]!,
          reference: tracks[reference]!,
          judged: source,
          sampleRateHz: group.sampleRateHz,
          temperatureCelsius: found.temperatureCelsius,
        }),
      )
      continue
    }
    const { reason, warning } = rateSentences(factor, group.sampleRateHz, group.reference)
    judged.push(unmeasured(source, reason))
    advice.push(null)
    warnings.push({
      code: 'RATE_LABEL',
      group: group.name,
      source: tracks[i]!.source.name,
      message: warning,
    })
  }
  return { judged, advice, slates: slate.slates, warnings }
}

// Whatever was found between two rates is no lag.
const unmeasured = (source: JudgedSource, reason: string): JudgedSource => ({
  ...source,
  ...NO_LAG,
  reason,
})
