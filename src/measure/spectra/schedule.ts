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
