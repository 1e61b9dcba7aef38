import type {
  ComparedBlend,
  ComparedGroup,
  ComparedSource,
  Comparison,
} from '../../report/compared/comparison.js'
import { blendWords, sourceWords } from '../../report/compared/words.js'
import * as portable from '../../terms/portable.js'
import { metresFromSamples, msFromSamples } from '../../terms/units.js'
import type { BlendSound, GroupBefore, SourceBefore, TakeBefore } from '../lock.js'

/** Two takes, or two deliveries, side by side. Sources and blends are those of either, those of now first, in the order of their names. */
export const compareTakes = (before: TakeBefore, now: TakeBefore): Comparison => {
  const names = { before: takeName(before, now), now: takeName(now, before) }
  return {
    ...names,
    groups: namesOf(now.groups, before.groups).map(name =>
      comparedGroup(name, before.groups[name], now.groups[name], now.temperatureCelsius, names.before),
    ),
    blends: namesOf(now.blends, before.blends).map(name =>
      comparedBlend(name, before.blends[name], now.blends[name]),
    ),
  }
}

const takeName = (take: TakeBefore, other: TakeBefore): string | null =>
  take.take === null || take.take === other.take ? null : `take ${take.take}`

const namesOf = (now: object, before: object): readonly string[] => {
  const ours = Object.keys(now).sort()
  return [
    ...ours,
    ...Object.keys(before)
      .filter(name => !ours.includes(name))
      .sort(),
  ]
}

const comparedGroup = (
  name: string,
  before: GroupBefore | undefined,
  now: GroupBefore | undefined,
  temperatureCelsius: number,
  beforeName: string | null,
): ComparedGroup => {
  const group = (now ?? before)!
  const sources = namesOf(now?.sources ?? {}, before?.sources ?? {}).map(source =>
    comparedSource(
      source,
      { before: before?.sources[source], now: now?.sources[source] },
      {
        group,
        // Lags count from the reference: with another one, or another clock, they do not compare.
        comparable: before?.reference === now?.reference && before?.sampleRateHz === now?.sampleRateHz,
        temperatureCelsius,
        beforeName,
      },
    ),
  )
  return {
    name,
    reference: group.reference,
    formerReference: before === undefined || before.reference === group.reference ? null : before.reference,
    sampleRateHz: group.sampleRateHz,
    sources,
  }
}

/** A smaller change is none that anybody would hear or measure with a rule: 0.7 mm of air at 48 kHz. */
const CLEAR_SAMPLES = 0.1

interface SourceFrame {
  readonly group: GroupBefore
  readonly comparable: boolean
  readonly temperatureCelsius: number
  readonly beforeName: string | null
}

const comparedSource = (
  name: string,
  { before, now }: { readonly before: SourceBefore | undefined; readonly now: SourceBefore | undefined },
  { group, comparable, temperatureCelsius, beforeName }: SourceFrame,
): ComparedSource => {
  const rate = group.sampleRateHz
  const change =
    comparable && before?.lagSamples != null && now?.lagSamples != null
      ? now.lagSamples - before.lagSamples
      : null
  const uncertain = portable.hypot(before?.lagUncertaintySamples ?? 0, now?.lagUncertaintySamples ?? 0)
  const compared: Omit<ComparedSource, 'words'> = {
    name,
    presence: before === undefined ? 'added' : now === undefined ? 'removed' : 'both',
    via: (now ?? before)!.via,
    isReference: group.reference === name,
    newRecording:
      before?.audioSha256 == null || now?.audioSha256 == null ? null : before.audioSha256 !== now.audioSha256,
    lagBeforeSamples: before?.lagSamples ?? null,
    lagNowSamples: now?.lagSamples ?? null,
    lagChangeSamples: change,
    lagChangeMs: change === null ? null : msFromSamples(change, rate),
    distanceChangeMetres: change === null ? null : metresFromSamples(change, rate, temperatureCelsius),
    clear: change !== null && Math.abs(change) > Math.max(CLEAR_SAMPLES, 2 * uncertain),
    polarityBefore: before?.polarity ?? null,
    polarityNow: now?.polarity ?? null,
    verdictBefore: before?.verdict ?? null,
    verdictNow: now?.verdict ?? null,
    loudnessChangeDb: differenceOf(now?.loudnessLufs, before?.loudnessLufs),
  }
  return { ...compared, words: sourceWords(compared, beforeName) }
}

const comparedBlend = (
  name: string,
  before: TakeBefore['blends'][string] | undefined,
  now: TakeBefore['blends'][string] | undefined,
): ComparedBlend => {
  const compared: Omit<ComparedBlend, 'words'> = {
    name: name.slice(name.indexOf('/') + 1),
    group: (now ?? before)!.group,
    presence: before === undefined ? 'added' : now === undefined ? 'removed' : 'both',
    loudnessChangeDb: differenceOf(now?.loudnessLufs, before?.loudnessLufs),
    evennessBeforeDb: before?.evennessDb ?? null,
    evennessNowDb: now?.evennessDb ?? null,
    firstNotchBeforeHz: before?.firstNotchHz ?? null,
    firstNotchNowHz: now?.firstNotchHz ?? null,
    bands: before === undefined || now === undefined ? [] : bandChanges(before, now),
  }
  return { ...compared, words: blendWords(compared) }
}

// Against the change of the whole, so that a player who plays louder is no change of tone.
const bandChanges = (before: BlendSound, now: BlendSound): ComparedBlend['bands'] => {
  const whole = differenceOf(now.loudnessLufs, before.loudnessLufs) ?? 0
  return Object.entries(now.bandsDb).flatMap(([name, level]) => {
    const former = before.bandsDb[name]
    return former === undefined ? [] : [{ name, changeDb: level - former - whole }]
  })
}

const differenceOf = (now: number | null | undefined, before: number | null | undefined): number | null =>
  now == null || before == null ? null : now - before
