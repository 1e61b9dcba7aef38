/** Whole frames by which a source is read ahead: one number, or knots in time with straight lines between (a drift). */
export type ShiftSchedule = number | readonly { readonly atSeconds: number; readonly shiftSamples: number }[]

/** The schedule at a time, rounded to whole frames; before the first and after the last knot it stays. */
export const scheduledShift = (schedule: ShiftSchedule, seconds: number): number =>
  Math.round(exactShift(schedule, seconds))

/** The same, not rounded. */
export const exactShift = (schedule: ShiftSchedule, seconds: number): number => {
  if (typeof schedule === 'number') return schedule
  const next = schedule.findIndex(knot => knot.atSeconds > seconds)
  if (next === 0) return schedule[0]!.shiftSamples
  if (next < 0) return schedule[schedule.length - 1]!.shiftSamples
  const a = schedule[next - 1]!
  const b = schedule[next]!
  return (
    a.shiftSamples +
    ((b.shiftSamples - a.shiftSamples) * (seconds - a.atSeconds)) / (b.atSeconds - a.atSeconds)
  )
}

/** Its mean over a stretch around a time: what a block of that length saw of it. */
export const meanShift = (schedule: ShiftSchedule, seconds: number, stretchSeconds: number): number => {
  if (typeof schedule === 'number') return schedule
  let sum = 0
  for (let part = 0; part < MEAN_PARTS; part++) {
    sum += exactShift(schedule, seconds + stretchSeconds * ((part + 0.5) / MEAN_PARTS - 0.5))
  }
  return sum / MEAN_PARTS
}

const MEAN_PARTS = 8
