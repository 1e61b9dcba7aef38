import { type Activity, levelAtShare } from './activity.js'

/** Under this rms of 50 ms nothing is taken for sound. */
export const SILENCE_DBFS = -70
const OVER_FLOOR_DB = 10
const UNDER_LOUDEST_DB = 50
// A source that never rests has its floor near its loudest step: then all of it sounds.
const SOUNDS_ANYWAY_DB = 10

/**
 * From the first to the last step that sounds: 10 dB over the quietest twentieth (the noise of the path), within 50 dB of the
 * loudest step, and not under -70 dBFS. `frames`: length of the source. Seconds of the file's own time, good to a step; null where nothing sounds.
 */
export const soundRange = (
  activity: Activity,
  frames: number,
  sampleRateHz: number,
): { readonly startSeconds: number; readonly endSeconds: number } | null => {
  const loudest = levelAtShare(activity, 1)
  const floor = levelAtShare(activity, 0.05)
  if (loudest === null || floor === null) return null
  const overFloor = Math.min(floor + OVER_FLOOR_DB, loudest - SOUNDS_ANYWAY_DB)
  const threshold = Math.max(SILENCE_DBFS, loudest - UNDER_LOUDEST_DB, overFloor)
  const sounds = (level: number): boolean => level >= threshold
  const first = activity.levelsDbfs.findIndex(sounds)
  if (first < 0) return null
  const last = activity.levelsDbfs.findLastIndex(sounds)
  const endFrame = Math.min(frames, (last + 1) * activity.stepFrames)
  return {
    startSeconds: (first * activity.stepFrames) / sampleRateHz,
    endSeconds: endFrame / sampleRateHz,
  }
}
