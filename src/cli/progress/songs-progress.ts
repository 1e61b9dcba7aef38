import type { Progress, Stage } from '../../jobs/progress.js'

/** What a stage takes of all the work for a song, from … to, 0 … 1. By what songs of eight sources took; an estimate. */
type Shares = Readonly<Partial<Record<Stage['doing'], readonly [number, number]>>>

const RENDERING: Shares = {
  measuring: [0, 0.4],
  'measuring takes': [0.4, 0.45],
  planning: [0.45, 0.5],
  rendering: [0.5, 0.9],
  'comparing the tone': [0.9, 0.96],
  'writing the report': [0.96, 1],
}
const LOOKING: Shares = { checking: [0, 1], measuring: [0, 0.9], 'measuring takes': [0.9, 1] }

/** A song that is at work. */
export interface SongAtWork {
  readonly stage: Stage
  readonly doneSeconds: number
}

/** How far a call about one song or several is. */
export interface Whole {
  /** Songs at work, in the order in which they were begun. */
  readonly atWork: readonly SongAtWork[]
  readonly of: number
  readonly ended: number
  /** Share of all work that is done, 0 … 1; null where nothing can be told of it. */
  readonly share: number | null
  /** If it goes on as before; null where too little is done to tell. */
  readonly secondsLeft: number | null
}

/** Progress of all songs of a call, told as one. */
export interface SongsProgress {
  /** That of one song. */
  song(index: number): Progress
  whole(): Whole
}

/** Less than this is no ground for an estimate. */
const LEAST_SHARE = 0.02
const LEAST_SECONDS = 2

/**
 * @param works What each song will take, in any unit: a long one at the end is expected.
 * @param writes Whether the songs are rendered.
 * @param changed Called after every change.
 * @param clock Seconds from any beginning.
 */
export const songsProgress = (
  works: readonly number[],
  writes: boolean,
  changed: (whole: 'stage' | 'advance' | 'end', song: SongAtWork | null) => void,
  clock: () => number = () => performance.now() / 1000,
): SongsProgress => {
  const shares = writes ? RENDERING : LOOKING
  const begun = clock()
  // A song without work counts a little, so that a row of empty ones moves on too.
  const sizes = works.map(work => Math.max(1, work))
  const all = sizes.reduce((sum, size) => sum + size, 0)
  const done = works.map(() => 0)
  const atWork = new Map<number, SongAtWork>()
  let ended = 0

  const told = (index: number): void => {
    const song = atWork.get(index)
    const [from, to] = song === undefined ? [0, 0] : (shares[song.stage.doing] ?? [0, 0])
    const seconds = song?.stage.audioSeconds ?? null
    const part = song === undefined || seconds === null || seconds <= 0 ? 0 : song.doneSeconds / seconds
    // An estimate that was short, or a stage that is left out, never takes back what was told.
    done[index] = Math.max(done[index]!, from + Math.min(0.99, part) * (to - from))
  }
  return {
    song: index => ({
      stage(stage) {
        const song = { stage, doneSeconds: 0 }
        atWork.set(index, song)
        told(index)
        changed('stage', song)
      },
      advance(audioSeconds) {
        const song = atWork.get(index)
        if (song === undefined) return
        const now = { ...song, doneSeconds: song.doneSeconds + audioSeconds }
        atWork.set(index, now)
        told(index)
        changed('advance', now)
      },
      end() {
        atWork.delete(index)
        done[index] = 1
        ended += 1
        changed('end', null)
      },
    }),
    whole() {
      const share = sizes.reduce((sum, size, i) => sum + size * done[i]!, 0) / all
      const elapsed = clock() - begun
      const known = share >= LEAST_SHARE && elapsed >= LEAST_SECONDS && share < 1
      return {
        atWork: [...atWork.values()],
        of: works.length,
        ended,
        share: works.length === 0 ? null : share,
        secondsLeft: known ? (elapsed * (1 - share)) / share : null,
      }
    },
  }
}
