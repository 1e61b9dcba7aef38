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

/**
 * Every group once. A group whose recordings are all in another's stems is heard there. Empty with fewer than two groups to compare; groups
 * of another sample rate than the first are not compared.
 */
export const voicesOf = (plan: Plan): readonly Voice[] => {
  const all = plan.groups.map(({ name }) => ({ group: name, stems: stemsFor(plan, name) }))
  const keysOf = ({ stems }: Voice): Set<string> =>
    new Set(stems.flatMap(({ parts }) => parts.map(({ key }) => key)))
  const whole = all.filter((voice, v) => {
    const own = keysOf(voice)
    if (own.size === 0) return false
    return !all.some((other, o) => {
      const others = keysOf(other)
      const holdsAll = [...own].every(key => others.has(key))
      return o !== v && holdsAll && (others.size > own.size || o < v)
    })
  })
  const rate = whole[0]?.stems[0]?.sampleRateHz
  const voices = whole.filter(({ stems }) => stems[0]?.sampleRateHz === rate)
  return voices.length < 2 ? [] : voices
}
