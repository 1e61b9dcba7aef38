import type {
  ComparedBlend,
  ComparedGroup,
  ComparedSource,
  Comparison,
} from '../../report/compared/comparison.js'
import { blendWords, sourceWords } from '../../report/compared/words.js'
import { ownValue } from '../../terms/own-value.js'
import type { BlendSound, GroupBefore, SourceBefore, TakeBefore } from '../lock.js'
import { comparedLag, comparedPieces } from './compared-lag.js'

/** Two takes, or two deliveries, side by side. Sources and blends are those of either, those of now first, in the order of their names. */
export const compareTakes = (before: TakeBefore, now: TakeBefore): Comparison => {
  const names = { before: takeName(before, now), now: takeName(now, before) }
  return {
    ...names,
    groups: namesOf(now.groups, before.groups).map(name =>
      comparedGroup(
        name,
        ownValue(before.groups, name),
        ownValue(now.groups, name),
        now.temperatureCelsius,
        names.before,
      ),
    ),
    blends: namesOf(now.blends, before.blends).map(name =>
      comparedBlend(name, ownValue(before.blends, name), ownValue(now.blends, name)),
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
      { before: ownValue(before?.sources, source), now: ownValue(now?.sources, source) },
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
  const frame = { comparable, rateHz: group.sampleRateHz, temperatureCelsius }
  const pieces = comparedPieces(before?.pieces ?? [], now?.pieces ?? [], frame)
  const compared: Omit<ComparedSource, 'words'> = {
    name,
    via: (now ?? before)!.via,
    isReference: group.reference === name,
    newRecording:
      before?.audioSha256 == null || now?.audioSha256 == null ? null : before.audioSha256 !== now.audioSha256,
    ...comparedLag(before, now, frame),
    loudnessChangeDb: differenceOf(now?.loudnessLufs, before?.loudnessLufs),
    ...(pieces.length === 0 ? {} : { pieces }),
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
