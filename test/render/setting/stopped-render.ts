import fs from 'node:fs'
import type { Plan } from '../../../src/decide/plan.js'
import { renderPlan } from '../../../src/render/render-plan.js'
import { renderTasks } from '../../../src/render/tasks.js'
import { inProcess } from '../../../src/terms/task.js'

// Renders a plan in a process of its own and stands still at the event that is named ("block 3", "rename 1"), until it is killed.
const [planFile, place] = process.argv.slice(2)

const standStillAt = (here: string): void => {
  if (here !== place) return
  process.stdout.write(`${here}\n`)
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0)
}

const rename = fs.renameSync
let renames = 0
fs.renameSync = (from, to) => {
  standStillAt(`rename ${renames++}`)
  rename(from, to)
}

let blocks = 0
const tasks = inProcess(renderTasks, {
  aborted: false,
  advance: () => {
    standStillAt(`block ${blocks++}`)
  },
})
await renderPlan(JSON.parse(fs.readFileSync(planFile!, 'utf8')) as Plan, tasks)
standStillAt('done')
