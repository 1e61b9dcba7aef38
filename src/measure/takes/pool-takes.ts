import type { Session, SessionGroup } from '../../recipe/session.js'
import { metresFromSamples, msFromSamples } from '../../terms/units.js'
import type { Warning } from '../../terms/warning.js'
import type { GroupMeasurement, PooledLag, SongMeasurement, SourceMeasurement } from '../measurement.js'
import { poolLags, type SourceInTake } from './pool-lags.js'
import { poolWarnings } from './pool-words.js'

/** Another recording of one setup. */
export interface OtherTake {
  readonly song: string
  readonly take: string | null
  /** Groups that are pooled with it. */
  readonly groups: ReadonlySet<string>
  /** Null where it is not there, or cannot be read. */
  readonly measured: readonly GroupMeasurement[] | null
  /** Which sound a source and the reference of its group are, by `group/source`: the same text, the same recordings. */
  readonly sounds: ReadonlyMap<string, string>
}

/**
 * A measurement in which several takes between which nothing was moved are measured as one, group by group as the recipe says.
 * @param sounds As in `OtherTake`, of the take at hand.
 */
export const poolTakes = (
  session: Session,
  measurement: SongMeasurement,
  sounds: ReadonlyMap<string, string>,
  others: readonly OtherTake[],
): SongMeasurement => {
  const warnings: Warning[] = []
  const groups = measurement.groups.map((measured): GroupMeasurement => {
    const group = session.groups.find(({ name }) => name === measured.name)!
    const taking = others.filter(other => other.groups.has(group.name))
    if (group.setup === null || taking.length === 0) return measured
    const sources = measured.sources.map(source => {
      if (source.name === group.reference) return source
      const pooled = poolLags(inTakes(session, group, source, sounds, taking))
      warnings.push(...poolWarnings(group, source, pooled, session.temperatureCelsius))
      return withPool(source, pooled, group, session.temperatureCelsius)
    })
    return { ...measured, sources }
  })
  return { ...measurement, groups, warnings: [...measurement.warnings, ...warnings] }
}

const inTakes = (
  session: Session,
  group: SessionGroup,
  source: SourceMeasurement,
  sounds: ReadonlyMap<string, string>,
  others: readonly OtherTake[],
): readonly SourceInTake[] => {
  const key = `${group.name}/${source.name}`
  const seen = new Set([sounds.get(key)])
  const own = { song: session.song, take: session.take, isThis: true, measured: source, isSame: false }
  return [
    own,
    ...others.map((other): SourceInTake => {
      const there = other.measured?.find(
        ({ name, reference, sampleRateHz }) =>
          name === group.name && reference === group.reference && sampleRateHz === group.sampleRateHz,
      )
      const sound = other.sounds.get(key)
      const isSame = sound !== undefined && seen.has(sound)
      seen.add(sound)
      const measured = there?.sources.find(({ name }) => name === source.name) ?? null
      return { song: other.song, take: other.take, isThis: false, measured, isSame }
    }),
  ]
}

const withPool = (
  source: SourceMeasurement,
  pooled: PooledLag,
  { sampleRateHz }: SessionGroup,
  temperatureCelsius: number,
): SourceMeasurement => {
  const { lagSamples, uncertaintySamples, used } = pooled
  if (!used || lagSamples === null) return { ...source, pooled }
  const arrival = source.candidates.findIndex(({ aim }) => aim === 'arrival')
  return {
    ...source,
    lagSamples,
    lagUncertaintySamples: uncertaintySamples,
    lagMs: msFromSamples(lagSamples, sampleRateHz),
    distanceMetres: metresFromSamples(lagSamples, sampleRateHz, temperatureCelsius),
    candidates: source.candidates.map((one, i) => (i === arrival ? { ...one, lagSamples } : one)),
    pooled,
  }
}
