import type { Plan } from '../decide/plan.js'

/**
 * Seconds of audio that `toneOfPlan` reads, for the progress display: every source of a group's blends once, and every blend that was
 * written. A blend that has to be looked at by itself is not foreseen here.
 */
export const toneAudioSeconds = (plan: Plan, isWritten: boolean): number => {
  const blends = plan.stems.filter(stem => stem.kind === 'blend')
  const read = new Map<string, number>()
  for (const { group, parts, frames, sampleRateHz } of blends) {
    for (const { key } of parts) read.set(`${group}/${key}`, frames / sampleRateHz)
  }
  const sources = [...read.values()].reduce((sum, seconds) => sum + seconds, 0)
  return blends.reduce(
    (sum, { frames, sampleRateHz }) => sum + (isWritten ? frames / sampleRateHz : 0),
    sources,
  )
}
