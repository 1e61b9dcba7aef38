/** "12 min left"; empty where nothing is known. */
export const leftText = (seconds: number | null): string =>
  seconds === null ? '' : `${durationText(seconds)} left`

const durationText = (seconds: number): string => {
  if (seconds < 5) return 'a moment'
  if (seconds < 90) return `${5 * Math.round(seconds / 5)} s`
  const minutes = Math.round(seconds / 60)
  return minutes < 90 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}
