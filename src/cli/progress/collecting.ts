import type { Progress, Stage } from '../../jobs/progress.js'
import { collectAll } from '../../terms/collect.js'

/** Before these what was done before has left much behind: tens of megabytes, which would lie about until the end. */
const AFTER_MUCH: ReadonlySet<Stage['doing']> = new Set([
  'planning',
  'rendering',
  'comparing the tone',
  'writing the report',
])

/** The same progress; between the stages of a song memory is given back. */
export const collecting = (progress: Progress): Progress => ({
  ...progress,
  stage: stage => {
    progress.stage(stage)
    if (AFTER_MUCH.has(stage.doing)) collectAll()
  },
})
