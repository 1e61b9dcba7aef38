import type { measureTasks } from '../../measure/tasks.js'
import type { Recall } from '../../terms/recall.js'
import type { Pooled } from '../../terms/task.js'
import type { Contents } from './contents.js'

type MeasureTasks = Pooled<typeof measureTasks>

/** The same tasks, with scans that are remembered by the sound alone; the checksum of the file is always that of the file as it is. */
export const rememberedScans = (tasks: MeasureTasks, recall: Recall, contents: Contents): MeasureTasks => {
  const scanSource: MeasureTasks['scanSource'] = async input => {
    const known = contents.fingerprint(input.file)
    if (known === undefined) return tasks.scanSource(input)
    const { sha256 } = known
    const scan = await recall('measure scanSource', input, () => tasks.scanSource({ ...input, sha256 }))
    return { ...scan, sha256 }
  }
  return new Proxy(tasks, {
    get: (table, name) => (name === 'scanSource' ? scanSource : (Reflect.get(table, name) as unknown)),
  })
}
