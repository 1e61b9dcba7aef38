import { type Activity, LOWEST_DBFS, levelAtShare } from './activity.js'

// Gaps: windows in which every step stays this near to the quietest window, and this far under the loudest step.
const NEAR_FLOOR_DB = 6
const UNDER_LOUDEST_DB = 20
// A sound whose steps nearly all lie within this, without a rest, is no playing at all: it is the noise and the hum alone.
const STEADY_DB = 6
const MOST_WINDOWS = 24

/**
 * First frames of windows of `windowFrames` that lie in the gaps between notes, the quietest first, not overlapping; at most
 * 24. Digital silence is no gap: it tells nothing of the path. Empty where the playing never pauses for so long.
 */
export const quietWindows = (activity: Activity, windowFrames: number): readonly number[] => {
  const { levelsDbfs, stepFrames } = activity
  const loudest = levelAtShare(activity, 1)
  const least = levelAtShare(activity, 0.05)
  const most = levelAtShare(activity, 0.95)
  if (loudest === null || least === null || most === null) return []
  const steps = Math.ceil(windowFrames / stepFrames)
  const windows: { start: number; level: number }[] = []
  // The last step may be a short one: it is left out.
  for (let start = 0; start + steps < levelsDbfs.length; start++) {
    const inside = levelsDbfs.subarray(start, start + steps)
    if (inside.includes(LOWEST_DBFS)) continue
    windows.push({ start, level: inside.reduce((highest, level) => Math.max(highest, level)) })
  }
  windows.sort((a, b) => a.level - b.level || a.start - b.start)
  const floor = windows[0]?.level ?? 0
  const steady = most - least < STEADY_DB && !levelsDbfs.includes(LOWEST_DBFS)
  const limit = steady ? most + STEADY_DB : Math.min(floor + NEAR_FLOOR_DB, loudest - UNDER_LOUDEST_DB)
  const chosen: number[] = []
  for (const { start, level } of windows) {
    if (level > limit || chosen.length === MOST_WINDOWS) break
    if (chosen.every(other => Math.abs(other - start) >= steps)) chosen.push(start)
  }
  return chosen.map(start => start * stepFrames)
}
