import { serve } from './serve.js'

/** The tables of all rooms. Each is loaded when its first task comes. */
serve({
  measure: async () => (await import('../../measure/tasks.js')).measureTasks,
  render: async () => (await import('../../render/tasks.js')).renderTasks,
  tone: async () => (await import('../../tone/tasks.js')).toneTasks,
  verify: async () => (await import('../../verify/tasks.js')).verifyTasks,
  report: async () => (await import('../../report/tasks.js')).reportTasks,
})
