import { closeUp } from './close-up/close-up-task.js'
import { passage } from './listen/passage-task.js'

/** What this room does in worker threads. */
export const reportTasks = { closeUp, passage }
