import type { Session } from '../recipe/session.js'
import type { Pooled } from '../terms/task.js'
import type { Warning } from '../terms/warning.js'
import type { GroupMeasurement, SongMeasurement } from './measurement.js'
import { measureGroup } from './session/measure-group.js'
import { filesToScan, scanKey, tracksOf } from './session/session-source.js'
import type { measureTasks } from './tasks.js'

/**
 * Measures all groups of a session: health of every file, then lag, polarity and verdict of every source against the reference
 * of its group. Deterministic: the same files and recipe give the same numbers, whatever runs the tasks.
 * @throws SumwellError from reading the files; INTERRUPTED
 */
export const measureSession = async (
  session: Session,
  tasks: Pooled<typeof measureTasks>,
): Promise<SongMeasurement> => {
  const files = filesToScan(session)
  const scanned = await Promise.all(files.map(({ file, selection }) => tasks.scanSource({ file, selection })))
  const scans = new Map(files.map((file, i) => [scanKey(file), scanned[i]!]))
  const groups: GroupMeasurement[] = []
  const warnings: Warning[] = []
  for (const group of session.groups) {
    const tracks = tracksOf(session, group, scans)
    for (const track of tracks) {
      if (track.fromGroup !== null) continue
      warnings.push(...track.scan.warnings.map(w => ({ ...w, group: group.name, source: track.source.name })))
    }
    const measured = await measureGroup(session, group, tracks, tasks)
    groups.push(measured.group)
    warnings.push(...measured.warnings)
  }
  return { recipe: session.recipeShown, song: session.song, take: session.take, groups, warnings }
}
