import type { measureTasks } from '../../measure/tasks.js'
import { filesOf } from '../../recipe/session.js'
import type { Recall } from '../../terms/recall.js'
import type { Pooled } from '../../terms/task.js'
import { laidSha256 } from '../../wave/laid-hash.js'
import type { Contents } from './contents.js'

type MeasureTasks = Pooled<typeof measureTasks>

/** The same tasks, with scans that are remembered by the sound alone; the checksum of the file is always that of the file as it is. */
export const rememberedScans = (tasks: MeasureTasks, recall: Recall, contents: Contents): MeasureTasks => {
  const scanSource: MeasureTasks['scanSource'] = async input => {
    const sha256 = sha256Of(input, contents)
    if (sha256 === null) return tasks.scanSource(input)
    const scan = await recall('measure scanSource', input, () => tasks.scanSource({ ...input, sha256 }))
    return { ...scan, sha256 }
  }
  return new Proxy(tasks, {
    get: (table, name) => (name === 'scanSource' ? scanSource : (Reflect.get(table, name) as unknown)),
  })
}

/** Of the file, or of what is laid from several; null where one was not looked into. */
const sha256Of = (input: Parameters<MeasureTasks['scanSource']>[0], contents: Contents): string | null => {
  const known = filesOf(input).every(file => contents.fingerprint(file) !== undefined)
  if (!known) return null
  const ofFile = (file: string): string => contents.fingerprint(file)!.sha256
  const { laid } = input.selection
  return laid === undefined ? ofFile(input.file) : laidSha256(laid, ofFile)
}
