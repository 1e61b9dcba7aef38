/** A song by itself keeps about so many threads busy, most of the time. */
const THREADS_PER_SONG = 4

/**
 * How many songs are at work at a time: so many that no thread waits while one song plans or writes its report, and no more, since each takes
 * memory. One thread does one song after the other.
 */
export const songsAtOnce = (jobs: number): number => Math.min(jobs, 1 + Math.ceil(jobs / THREADS_PER_SONG))
