import { type Activity, LOWEST_DBFS } from '../../measure/scan/activity.js'

/** Longest stretch that is looked at to find out which files belong together, seconds. */
const LONGEST_SECONDS = 45
const STEP_SECONDS = 1
/** A file plays where it is within this of its own loud steps. */
const PLAYS_DB = 25

export interface Heard {
  readonly activity: Activity
  readonly sampleRateHz: number
  /** Where it starts in the common time, seconds. */
  readonly startSeconds: number
  readonly silent: boolean
}

/** The stretch of common time in which the most files play; null where all is short enough to look at everything. */
export const passageToCompare = (
  files: readonly Heard[],
): { readonly startSeconds: number; readonly endSeconds: number } | null => {
  const end = Math.max(0, ...files.map(file => file.startSeconds + lengthOf(file)))
  if (end <= LONGEST_SECONDS) return null
  const playing = new Float64Array(Math.ceil(end / STEP_SECONDS))
  for (const file of files) if (!file.silent) addPlaying(file, playing)
  const steps = LONGEST_SECONDS / STEP_SECONDS
  let sum = playing.slice(0, steps).reduce((a, b) => a + b, 0)
  let most = sum
  let best = 0
  for (let first = 1; first + steps <= playing.length; first++) {
    sum += playing[first + steps - 1]! - playing[first - 1]!
    if (sum > most + 1e-9) {
      most = sum
      best = first
    }
  }
  return { startSeconds: best * STEP_SECONDS, endSeconds: best * STEP_SECONDS + LONGEST_SECONDS }
}

const stepSeconds = ({ activity, sampleRateHz }: Heard): number => activity.stepFrames / sampleRateHz

const lengthOf = (file: Heard): number => file.activity.levelsDbfs.length * stepSeconds(file)

const addPlaying = (file: Heard, playing: Float64Array): void => {
  const { levelsDbfs } = file.activity
  const sorted = levelsDbfs.filter(level => level > LOWEST_DBFS).sort()
  const loud = sorted[Math.floor(0.95 * (sorted.length - 1))] ?? 0
  levelsDbfs.forEach((level, step) => {
    if (level < loud - PLAYS_DB) return
    const second = Math.floor((file.startSeconds + step * stepSeconds(file)) / STEP_SECONDS)
    if (second >= 0 && second < playing.length) playing[second] = playing[second]! + stepSeconds(file)
  })
}
