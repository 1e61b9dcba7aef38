import type { GroupMeasurement } from '../measure/measurement.js'
import type { SessionGroup, SessionSource } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { type Arrival, arrivalOf, type InnerGroup, referenceArrival } from './arrival.js'
import { type LocalMove, localMove } from './local-move.js'
import { multiplied } from './polarities.js'
import type { QuietSteps } from './quiet-steps.js'

/** One group lined up in itself. */
export interface GroupDecision extends InnerGroup {
  readonly group: SessionGroup
  readonly measured: GroupMeasurement
  /** By source name. */
  readonly moves: ReadonlyMap<string, LocalMove>
  readonly warnings: readonly Warning[]
}

/**
 * Lines up one group in itself: everybody to the common arrival, which is the reference's with `hold: reference` and the latest one's
 * with `hold: latest`. `inner` holds the decisions on the groups that are sources of this one, `quiet` the
 * places at which steps are followed.
 */
export const decideGroup = (
  group: SessionGroup,
  measured: GroupMeasurement,
  inner: ReadonlyMap<string, GroupDecision>,
  quiet: QuietSteps,
): GroupDecision => {
  const inside = (source: SessionSource) => (source.kind === 'group' ? inner.get(source.group) : undefined)
  const reference = group.sources.find(source => source.name === group.reference)!
  const first = referenceArrival(reference, inside(reference))
  const referencePolarity = multiplied(first.polarity, inside(reference)?.referencePolarity ?? 'normal')
  const others = group.sources
    .filter(source => source !== reference)
    .map(source => {
      const stepSeconds = quiet.get(`${group.name}/${source.name}`) ?? null
      return arrivalOf(source, group, measured, referencePolarity, inside(source), stepSeconds)
    })
  const arrivals = [first, ...others.map(({ arrival }) => arrival)]
  const arrivalSamples = commonArrival(group, first, arrivals)
  return {
    group,
    measured,
    moves: new Map(arrivals.map(arrival => [arrival.source.name, localMove(arrival, group, arrivalSamples)])),
    arrivalSamples,
    referencePolarity,
    isReamp: first.isReamp,
    warnings: others.flatMap(({ warnings }) => warnings),
  }
}

/**
 * With `hold: latest` nobody is pulled forward: the group waits for the latest of those that are lined up, at any moment of the take,
 * and for a nudge to earlier. A re-amped pass is not waited for; what stays as recorded moves with the reference anyway.
 */
const commonArrival = (group: SessionGroup, reference: Arrival, arrivals: readonly Arrival[]): number => {
  const referenceLag = reference.lagSamples ?? 0
  if (group.align.hold === 'reference') return referenceLag
  const latest = arrivals
    .filter(arrival => arrival.isReference || !arrival.isReamp)
    .flatMap(({ lagSamples, lagInTime, pieces, source }) => {
      const told = pieces?.map(piece => piece.lagSamples) ?? [lagSamples]
      const lags = lagInTime?.map(knot => knot.samples) ?? told.filter(lag => lag !== null)
      return lags.map(lag => lag - Math.min(0, source.nudgeSamples))
    })
  const wait = Math.max(...latest) - referenceLag
  return referenceLag + (group.align.resolution === 'sample' ? Math.round(wait) : wait)
}
