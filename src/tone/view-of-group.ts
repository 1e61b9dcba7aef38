import { partRuns } from '../decide/part-runs.js'
import type { Plan, PlannedSource, PlannedStem, StemPart } from '../decide/plan.js'
import { gainFromDb } from '../terms/units.js'
import type { Placement } from './spectra/placement.js'
import type { AsRecorded, Signal, View, ViewSource } from './spectra/view.js'

/** A blend as it is found in a view: per channel of the stem, its parts and which signal each is. */
export interface BlendInView {
  readonly stem: PlannedStem
  readonly channels: readonly (readonly PartInView[])[]
  /** Per channel, which of `View.asRecorded` sums it frame by frame; null where one phase turns each part back. */
  readonly asRecorded: readonly number[] | null
}

export interface PartInView {
  readonly part: StemPart
  readonly signal: number
  readonly placement: Placement
}

export interface GroupView {
  readonly view: View
  readonly blends: readonly BlendInView[]
}

/** Where a view lays the sources: as the plan moves each, or as one blend has them. */
export type PlacementOf = (part: StemPart, source: PlannedSource) => Placement

/** As the plan moves each source, whatever a blend makes of it: so the windows see what the parts have in common. */
export const asPlanned: PlacementOf = (_, source) => {
  const { recordedAtSamples, move } = source
  const { shiftSamples, polarity, follow, pieces } = move
  return {
    atSamples: recordedAtSamples + shiftSamples,
    recordedAtSamples,
    follow,
    ...(pieces === undefined ? {} : { runs: partRuns(source, pieces, polarity, recordedAtSamples) }),
  }
}

/** As they are delivered in a blend. */
export const asDelivered: PlacementOf = ({ atSamples, recordedAtSamples, follow, runs }) => ({
  atSamples,
  recordedAtSamples,
  follow,
  ...(runs === undefined ? {} : { runs }),
})

/** Gathers sources, signals and pairs as blends ask for them; each once. */
class ViewBuilder {
  readonly sources: ViewSource[] = []
  readonly signals: (Signal & { weight: number })[] = []
  readonly pairs: [number, number][] = []
  readonly asRecorded: AsRecorded[] = []
  readonly #sourceByName = new Map<string, number>()
  readonly #signalByName = new Map<string, number>()
  readonly #knownPairs = new Set<string>()

  /** `turn`: how many parts of the blend were this source already; a source may come into a blend by two ways. */
  source(source: PlannedSource, turn: number, placement: Placement): number {
    const name = `${turn}/${source.key}`
    const known = this.#sourceByName.get(name)
    if (known !== undefined) return known
    const { file, selection, channels } = source
    this.#sourceByName.set(name, this.sources.length)
    return this.sources.push({ file, selection, channels, placement }) - 1
  }

  signal(source: number, channel: number, gain: number): number {
    const name = `${source}/${channel}`
    let index = this.#signalByName.get(name)
    if (index === undefined) {
      index = this.signals.push({ source, channel, weight: 0 }) - 1
      this.#signalByName.set(name, index)
    }
    this.signals[index]!.weight += gain * gain
    return index
  }

  pairAll(signals: readonly number[]): void {
    for (const a of signals) {
      for (const b of signals) {
        if (a >= b || this.#knownPairs.has(`${a}/${b}`)) continue
        this.#knownPairs.add(`${a}/${b}`)
        this.pairs.push([a, b])
      }
    }
  }
}

const partsOf = (
  stem: PlannedStem,
  channel: number,
  sources: ReadonlyMap<string, PlannedSource>,
  builder: ViewBuilder,
  placementOf: PlacementOf,
): PartInView[] => {
  const turns = new Map<string, number>()
  return stem.parts.map(part => {
    const source = sources.get(part.key)!
    const turn = turns.get(part.key) ?? 0
    turns.set(part.key, turn + 1)
    const index = builder.source(source, turn, placementOf(part, source))
    // A mono part goes to every channel of the stem.
    const signal = builder.signal(index, source.channels === 1 ? 0 : channel, gainFromDb(part.matchGainDb))
    return { part, signal, placement: builder.sources[index]!.placement }
  })
}

const sumAsRecorded = (
  channels: readonly (readonly PartInView[])[],
  builder: ViewBuilder,
): readonly number[] | null => {
  if (!channels.some(parts => parts.some(({ placement }) => placement.follow !== null))) return null
  return channels.map(
    parts =>
      builder.asRecorded.push({
        parts: parts.map(({ part, signal }) => ({
          signal,
          gain: part.recordedGain,
          recordedAtSamples: part.recordedAtSamples,
        })),
      }) - 1,
  )
}

/** One look at the recordings of some blends, which have one rate and one timeline. */
export const viewOf = (
  plan: Plan,
  stems: readonly [PlannedStem, ...PlannedStem[]],
  placementOf: PlacementOf,
): GroupView => {
  const sources = new Map(plan.sources.map(source => [source.key, source]))
  const builder = new ViewBuilder()
  const blends = stems.map(stem => {
    const channels = Array.from({ length: stem.channels }, (_, channel) =>
      partsOf(stem, channel, sources, builder, placementOf),
    )
    for (const parts of channels) builder.pairAll(parts.map(({ signal }) => signal))
    return { stem, channels, asRecorded: sumAsRecorded(channels, builder) }
  })
  const { sampleRateHz, frames } = stems[0]
  const { signals, pairs, asRecorded } = builder
  return { view: { sampleRateHz, frames, sources: builder.sources, signals, pairs, asRecorded }, blends }
}
