import type { Plan, PlannedStem } from '../../decide/plan.js'

/** What stands for one group in the sum of the song. */
export interface Voice {
  readonly group: string
  readonly stems: readonly PlannedStem[]
}

/** A group's first blend that lines something up, else its first blend, else all its single sources. */
const stemsFor = (plan: Plan, group: string): readonly PlannedStem[] => {
  const own = plan.stems.filter(stem => stem.group === group)
  const blends = own.filter(({ kind }) => kind === 'blend')
  const blend = blends.find(({ aligned }) => aligned) ?? blends[0]
  return blend === undefined ? own : [blend]
}

/** What is summed. */
export interface Voices {
  /** Empty with fewer than two groups to compare. */
  readonly voices: readonly Voice[]
  /** Groups that are left out because their sample rate is not that of the others. */
  readonly otherRates: readonly string[]
}

const rateOf = ({ stems }: Voice): number => stems[0]?.sampleRateHz ?? 0

/** The rate of most groups; of as many, that of the first. */
const commonRate = (voices: readonly Voice[]): number => {
  const counts = new Map<number, number>()
  for (const voice of voices) counts.set(rateOf(voice), (counts.get(rateOf(voice)) ?? 0) + 1)
  return [...counts].reduce<readonly [number, number]>(
    (best, one) => (one[1] > best[1] ? one : best),
    [0, 0],
  )[0]
}

/** Every group once. A group whose recordings are all in another's stems is heard there. Only groups of one sample rate are compared. */
export const voicesOf = (plan: Plan): Voices => {
  const all = plan.groups.map(({ name }) => ({ group: name, stems: stemsFor(plan, name) }))
  const keysOf = ({ stems }: Voice): Set<string> =>
    new Set(stems.flatMap(({ parts }) => parts.map(({ key }) => key)))
  const whole = all.filter((voice, v) => {
    const own = keysOf(voice)
    return !all.some((other, o) => {
      const others = keysOf(other)
      const holdsAll = [...own].every(key => others.has(key))
      return o !== v && holdsAll && (others.size > own.size || o < v)
    })
  })
  const rate = commonRate(whole)
  const voices = whole.filter(voice => rateOf(voice) === rate)
  return {
    voices: voices.length < 2 ? [] : voices,
    otherRates: whole.filter(voice => rateOf(voice) !== rate).map(({ group }) => group),
  }
}
