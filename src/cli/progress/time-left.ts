/** Where in a call about several songs the work stands. */
export interface Place {
  /** From 1. */
  readonly number: number
  readonly of: number
  /** When the song began; null where nothing is known yet. */
  readonly secondsLeft: number | null
}

/**
 * Tells at the beginning of each song how long the rest will take, if it goes on as before. Songs count by their work, so that a long one at
 * the end is expected.
 * @param clock Seconds from any beginning.
 */
export const timeLeft = (
  works: readonly number[],
  clock: () => number = () => performance.now() / 1000,
): ((song: number) => number | null) => {
  const begun = clock()
  return song => {
    const done = works.slice(0, song).reduce((sum, work) => sum + work, 0)
    const rest = works.slice(song).reduce((sum, work) => sum + work, 0)
    return done > 0 ? ((clock() - begun) * rest) / done : null
  }
}

/** "3/40, 12 min left"; empty where there is but one song. */
export const placeText = (place: Place | null, secondsSince: number): string => {
  if (place === null) return ''
  const left = place.secondsLeft === null ? '' : `, ${durationText(place.secondsLeft - secondsSince)} left`
  return `${place.number}/${place.of}${left}`
}

const durationText = (seconds: number): string => {
  if (seconds < 5) return 'a moment'
  if (seconds < 90) return `${5 * Math.round(seconds / 5)} s`
  const minutes = Math.round(seconds / 60)
  return minutes < 90 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}
